// One rosette's least-squares solutions: with all its channels, and, made when first needed, with any of them missing.
// A reading lost in a row thus costs the tensor only where fewer than three independent directions are left.
import type { LogHeader } from '../header/logHeader.ts';
import { temperatureSource } from './channelStrain.ts';
import type { StrainLine } from './channelStrain.ts';
import type { Rosette } from './layout.ts';
import { shearCovariance, shearForm, strainAlong } from './principal.ts';
import type { ShearCovariance } from './principal.ts';
import { solveRosette } from './rosette.ts';
import type { RosetteSolution } from './rosette.ts';
import type { StrainContext } from './strainContext.ts';

export interface ZeroedSolution extends RosetteSolution {
  /** Tensor of the channels' zeros, to be taken from the tensor of the strains; NaN where only changes are known. */
  readonly zero: readonly [number, number, number];
  /** Covariance of (ex - ey, gxy); NaN where the noise that enters it is unknown. */
  readonly shear: ShearCovariance;
  /** The inverse of it: is there a direction? */
  readonly shearForm: readonly [number, number, number];
}

/** The rosette's channels with a zero; all of them where none has one, as without any datum. */
export function zeroedChannels({ channels }: Rosette, { report }: StrainContext): readonly number[] {
  const zeroed = channels.filter((c) => !Number.isNaN(report.mean[c]!));
  return zeroed.length > 0 ? zeroed : channels;
}

export class RosetteSolver {
  /** Undefined where the rosette has fewer than three independent directions to begin with. */
  readonly full: ZeroedSolution | undefined;
  readonly #directions: readonly number[];
  readonly #noise: readonly number[];
  readonly #perKelvin: readonly number[];
  /** Noise of the thermometer by which these channels are compensated; 0 where there is none, NaN where it is unknown. */
  readonly #temperatureNoiseK: number;
  readonly #zeros: readonly number[];
  readonly #inUse: readonly boolean[];
  readonly #reduced = new Map<string, ZeroedSolution | undefined>();
  /** Which channels were missing when last asked, and the solution: rows that follow each other lack the same ones. */
  readonly #lastMissing: boolean[];
  #lastSolution: ZeroedSolution | undefined;

  /** A channel that gave nothing in the datum window while its fellows did has no zero and is left out. */
  constructor(header: LogHeader, rosette: Rosette, lines: readonly StrainLine[], context: StrainContext) {
    this.#directions = rosette.channels.map((c) => header.channels[c]!.directionRad);
    this.#noise = rosette.channels.map((c) => context.noise[c]!);
    this.#perKelvin = lines.map(({ perKelvin }) => perKelvin);
    const thermometer = temperatureSource(header, rosette, context.temperatureZeroK, rosette.plane);
    this.#temperatureNoiseK = thermometer < 0 ? 0 : context.noise[thermometer]!;
    this.#zeros = rosette.channels.map((c) => context.strainZero[c]!);
    const zeroed = zeroedChannels(rosette, context);
    this.#inUse = rosette.channels.map((c) => zeroed.includes(c));
    this.full = this.#solve(this.#inUse);
    this.#lastMissing = rosette.channels.map(() => false);
    this.#lastSolution = this.full;
  }

  /** The solution for one row of `strain` (one array per channel), by which channels are NaN there. */
  at(strain: readonly Float64Array[], row: number): ZeroedSolution | undefined {
    const missing = this.#lastMissing;
    let same = true;
    for (let i = 0; i < strain.length; i++) {
      const lacks = this.#inUse[i]! && Number.isNaN(strain[i]![row]!);
      if (lacks === missing[i]) continue;
      missing[i] = lacks;
      same = false;
    }
    if (!same) this.#lastSolution = this.#without(missing);
    return this.#lastSolution;
  }

  #without(missing: readonly boolean[]): ZeroedSolution | undefined {
    if (!missing.includes(true)) return this.full;
    const key = missing.join();
    if (!this.#reduced.has(key)) {
      this.#reduced.set(key, this.#solve(this.#inUse.map((used, i) => used && !missing[i])));
    }
    return this.#reduced.get(key);
  }

  /**
   * Root mean square of what the tensor leaves unexplained, per degree of freedom, at one row; NaN without redundancy.
   * With `strain` as measured and the tensor as solved (zero taken off).
   */
  residual(strain: readonly Float64Array[], row: number, ex: number, ey: number, gxy: number): number {
    let sum = 0;
    let count = 0;
    for (let i = 0; i < strain.length; i++) {
      const value = strain[i]![row]! - this.#zeros[i]!;
      if (!this.#inUse[i] || Number.isNaN(value)) continue;
      sum += (value - strainAlong(ex, ey, gxy, this.#directions[i]!)) ** 2;
      count++;
    }
    return count > 3 ? Math.sqrt(sum / (count - 3)) : NaN;
  }

  #solve(use: readonly boolean[]): ZeroedSolution | undefined {
    const solution = this.#leastSquares(use);
    if (!solution) return undefined;
    const n = this.#directions.length;
    const zeroOf = (r: number): number =>
      this.#zeros.reduce((sum, z, i) => (use[i] ? sum + solution.inverse[r * n + i]! * z : sum), 0);
    return { ...solution, zero: [zeroOf(0), zeroOf(1), zeroOf(2)], shearForm: shearForm(solution.shear) };
  }

  /**
   * A thermometer of unknown noise says nothing against channels that do not need it. Where all need it alike it moves ex
   * and ey alike, neither the shear nor the residual: what depends on these alone is known all the same.
   */
  #leastSquares(use: readonly boolean[]): (RosetteSolution & { readonly shear: ShearCovariance }) | undefined {
    const inUse = this.#perKelvin.filter((_, i) => use[i]);
    const alike = inUse.every((perKelvin) => perKelvin === inUse[0]);
    const isotropic = Number.isNaN(this.#temperatureNoiseK) && alike && inUse[0] !== 0;
    const noiseK = isotropic ? 0 : this.#temperatureNoiseK;
    const common = this.#perKelvin.map((perKelvin) => (perKelvin === 0 ? 0 : perKelvin * noiseK));
    const solution = solveRosette(this.#directions, this.#noise, common, use);
    if (!solution) return undefined;
    const shear = shearCovariance(solution.covariance);
    if (!isotropic) return { ...solution, shear };
    const [, , ss, , xs, ys] = solution.covariance;
    return { ...solution, shear, covariance: [NaN, NaN, ss, NaN, xs, ys], common: [NaN, NaN, 0] };
  }
}
