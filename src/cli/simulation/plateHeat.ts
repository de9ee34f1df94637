// Temperature of the plate and of each cell, degrees Celsius: the heater brings the plate to its set point (first
// order), a slow wander about it (Ornstein-Uhlenbeck), the rise while the part above is exposed, which fades as the
// part grows away from the plate, and a dip when cold powder is spread. The temperature sensor follows late.
// A lumped model with first-order lags (e.g. Incropera et al., Fundamentals of Heat and Mass Transfer, ch. 5, lumped
// capacitance); amplitudes and times come from the scenario.
import type { Instant } from './buildClock.ts';
import { RandomStream } from './random.ts';
import type { Scenario } from './scenario.ts';

export class PlateHeat {
  /** True temperature and what its sensor feels (before noise), per cell. */
  readonly cellC: Float64Array;
  readonly feltC: Float64Array;
  /** Per part: the state of local heating, 0 to 1. */
  readonly glow: Float64Array;
  /** Mean of the plate, for its own sensor and the mounting. */
  plateC: number;
  plateFeltC: number;
  readonly #scenario: Scenario;
  readonly #reach: readonly Float64Array[];
  readonly #random: RandomStream;
  #base: number;
  #wander = 0;
  #dip = 0;

  constructor(scenario: Scenario) {
    const cells = scenario.cells.length;
    this.#scenario = scenario;
    this.#random = new RandomStream(scenario.seed, 'plate heat');
    this.#base = scenario.heat.startC;
    this.plateC = this.#base;
    this.plateFeltC = this.#base;
    this.cellC = new Float64Array(cells).fill(this.#base);
    this.feltC = new Float64Array(cells).fill(this.#base);
    this.glow = new Float64Array(scenario.parts.length);
    this.#reach = scenario.parts.map((part) => heatReach(scenario, part.outlineM));
  }

  step(dtS: number, now: Instant): void {
    const heat = this.#scenario.heat;
    this.#base += (heat.setC - this.#base) * (1 - Math.exp(-dtS / heat.plateTimeS));
    const keep = Math.exp(-dtS / heat.wanderTimeS);
    this.#wander = this.#wander * keep + heat.wanderK * Math.sqrt(1 - keep * keep) * this.#random.normal();
    const follow = 1 - Math.exp(-dtS / heat.exposureTimeS);
    this.#dip += ((now.layer > 0 && now.phase === 0 ? heat.recoatDipK : 0) - this.#dip) * follow;
    for (let part = 0; part < this.glow.length; part++) {
      this.glow[part]! += ((now.part === part ? 1 : 0) - this.glow[part]!) * follow;
    }
    this.#feel(dtS, now);
  }

  #feel(dtS: number, now: Instant): void {
    const { heat, build, temperature } = this.#scenario;
    const heightM = now.layer * build.layerHeightM;
    const rise = heat.exposureK / (1 + heightM / heat.fadeHeightM);
    const lag = temperature.lagS > 0 ? 1 - Math.exp(-dtS / temperature.lagS) : 1;
    this.plateC = this.#base + this.#wander - this.#dip;
    this.plateFeltC += (this.plateC - this.plateFeltC) * lag;
    for (let cell = 0; cell < this.cellC.length; cell++) {
      let local = this.plateC;
      for (let part = 0; part < this.glow.length; part++) local += rise * this.glow[part]! * this.#reach[part]![cell]!;
      this.cellC[cell] = local;
      this.feltC[cell]! += (local - this.feltC[cell]!) * lag;
    }
  }
}

/** How much of a part's heat each cell feels: mean of Gaussians of twice the plate's thickness over the outline's box. */
function heatReach(scenario: Scenario, outlineM: readonly (readonly [number, number])[]): Float64Array {
  const width = 2 * scenario.plate.thicknessM;
  const xs = outlineM.map(([x]) => x);
  const ys = outlineM.map(([, y]) => y);
  const outside = (v: number, all: readonly number[]): number =>
    Math.max(0, Math.min(...all) - v, v - Math.max(...all));
  return Float64Array.from(scenario.cells, ({ xM, yM }) => {
    const distance = Math.hypot(outside(xM, xs), outside(yM, ys));
    return Math.exp(-((distance / width) ** 2) / 2);
  });
}
