// How hard each part pulls on the plate: shrinkage that builds up layer by layer and levels off as the part grows
// stiff, and the expansion during exposure that goes back within the layer. Both are free strains spread over the
// part's outline; plateField.ts turns them into strain at the cells.
// Build-up: the lower layers hold back what the upper ones pull, taken as 1 - exp(-height/h0) (after the layer-wise
// summation of Mercelis and Kruth, Rapid Prototyping Journal 12, 2006). Scan lines turn from layer to layer and with
// them the direction in which a layer pulls hardest; what is left of the layer before fades in its own direction.
import type { BuildClock, Instant } from './buildClock.ts';
import { RandomStream } from './random.ts';
import type { Scenario } from './scenario.ts';

export class PartGrowth {
  /** Per part, free strain [along x, along y, shear] at this moment. */
  readonly free: readonly Float64Array[];
  /** Per part, share of further pull that is left (breaks take some). */
  readonly hold: Float64Array;
  readonly #scenario: Scenario;
  readonly #shares: BuildClock['shares'];
  readonly #shrunk: readonly Float64Array[];
  /** Of earlier layers: the expansion that is left, as free strain, and the glow that makes it. */
  readonly #fading: readonly Float64Array[];
  readonly #glowLeft: Float64Array;
  readonly #random: RandomStream;
  readonly #strength: Float64Array;
  readonly #turnRad: Float64Array;
  readonly #height: Float64Array;
  #layer = 0;

  constructor(scenario: Scenario, shares: BuildClock['shares']) {
    const parts = scenario.parts.length;
    this.#scenario = scenario;
    this.#shares = shares;
    this.free = scenario.parts.map(() => new Float64Array(3));
    this.#shrunk = scenario.parts.map(() => new Float64Array(3));
    this.#fading = scenario.parts.map(() => new Float64Array(3));
    this.#glowLeft = new Float64Array(parts);
    this.hold = new Float64Array(parts).fill(1);
    this.#strength = new Float64Array(parts).fill(1);
    this.#turnRad = new Float64Array(parts);
    this.#height = new Float64Array(parts);
    this.#random = new RandomStream(scenario.seed, 'part growth');
  }

  /** `glow`: state of local heating per part, 0 to 1, after the last `dtS` seconds. */
  step(dtS: number, now: Instant, glow: Float64Array): void {
    const { parts, build } = this.#scenario;
    this.#fade(dtS);
    if (now.layer !== this.#layer) this.#startLayer(now.layer, glow);
    for (let p = 0; p < parts.length; p++) {
      const part = parts[p]!;
      const { from, to } = this.#shares[p]!;
      const done = Math.min(1, Math.max(0, (now.exposed - from) / (to - from)));
      const height = now.layer === 0 ? 0 : (now.layer - 1 + done) * build.layerHeightM;
      if (height > this.#height[p]!) {
        const grown =
          part.shrinkage *
          (Math.exp(-this.#height[p]! / part.shrinkageHeightM) - Math.exp(-height / part.shrinkageHeightM));
        this.#pull(
          this.#shrunk[p]!,
          -grown * this.hold[p]! * this.#strength[p]!,
          part.anisotropy,
          part.directionRad,
          0,
        );
        this.#height[p] = height;
      }
      const free = this.free[p]!;
      for (let i = 0; i < 3; i++) free[i] = this.#shrunk[p]![i]! + this.#fading[p]![i]!;
      this.#expand(free, p, glow[p]! - this.#glowLeft[p]!);
    }
  }

  /** Adds a free strain of mean size `amount`, longer along the direction by the anisotropy. */
  #pull(free: Float64Array, amount: number, anisotropy: number, directionRad: number, turnRad: number): void {
    const twice = 2 * (directionRad + turnRad);
    free[0]! += amount * (1 + anisotropy * Math.cos(twice));
    free[1]! += amount * (1 - anisotropy * Math.cos(twice));
    free[2]! += amount * 2 * anisotropy * Math.sin(twice);
  }

  /** Adds the expansion that goes with so much glow of this layer. */
  #expand(free: Float64Array, p: number, glow: number): void {
    const { parts, heat, build } = this.#scenario;
    const { cycle, anisotropy, directionRad } = parts[p]!;
    const fade = 1 / (1 + (this.#layer * build.layerHeightM) / heat.fadeHeightM);
    const amount = cycle * fade * glow * this.hold[p]! * this.#strength[p]!;
    this.#pull(free, amount, anisotropy, directionRad, this.#turnRad[p]!);
  }

  #fade(dtS: number): void {
    const kept = Math.exp(-dtS / this.#scenario.heat.exposureTimeS);
    for (let p = 0; p < this.hold.length; p++) {
      this.#glowLeft[p]! *= kept;
      for (let i = 0; i < 3; i++) this.#fading[p]![i]! *= kept;
    }
  }

  #startLayer(layer: number, glow: Float64Array): void {
    for (let p = 0; p < this.hold.length; p++) {
      this.#expand(this.#fading[p]!, p, glow[p]! - this.#glowLeft[p]!);
      this.#glowLeft[p] = glow[p]!;
    }
    this.#layer = layer;
    for (let p = 0; p < this.hold.length; p++) {
      // No two layers pull alike: about 8 %, common practice, no published source.
      this.#strength[p] = Math.max(0.2, 1 + 0.08 * this.#random.normal());
      this.#turnRad[p]! += this.#scenario.parts[p]!.scanTurnRad;
    }
  }
}
