// The tests of one cell: for a few block lengths, the mean of the last samples against the mean of the samples before,
// all channels together, by Mahalanobis distance with a covariance learned from the same difference in the past. Each
// length thus knows what correlated noise does to it. The temperature, where known, is component 0 and is conditioned
// upon, not tested: so its own noise, and a wrong thermal coefficient, are taken out by regression at each length.
// This is a window-limited generalised likelihood ratio (Willsky & Jones 1976; Lai 1995) on a sparse set of windows.
// Here is what the tests remember; `blockLooks.ts` looks and learns.
import { blockPlans } from '../noise/blockShapes.ts';
import { firstOrderVariance } from '../noise/firstOrder.ts';
import { newFidelity } from '../cycle/cycleFidelity.ts';
import type { FidelityState } from '../cycle/cycleFidelity.ts';
import { isThere } from '../readings/health.ts';
import type { HealthState } from '../readings/health.ts';
import { newScatter } from '../noise/scatter.ts';
import type { ScatterState } from '../noise/scatter.ts';
import { limitFor, lowPointFor } from '../noise/surprise.ts';
import { dropRecent, newTail } from '../noise/tail.ts';
import type { TailState } from '../noise/tail.ts';

export interface LengthState {
  readonly scatter: ScatterState;
  tail: TailState;
  /** T-square at which the low surprise begins, for the scatter's present worth. */
  lowPoint: number;
  /** Recent mean of T-square over its expectation: noise that grows faster than the covariance learns. */
  scale: number;
}

export interface BlockTestsState {
  readonly dimension: number;
  /** First component tested: 1 where component 0 is the temperature. */
  readonly first: number;
  readonly lengths: readonly LengthState[];
  /** Covariance of one sample taken to be white (row by row), and the least it may be. */
  readonly floor: Float64Array;
  readonly least: Float64Array;
  /** Per length, variance of the difference in noise of the correlation that the log began with, in units of the floor. */
  readonly firstVariances: readonly number[];
  /** Squared distance beyond which an observation counts less. */
  readonly limit: number;
  /** 1 per component that gives readings just now, and how many do not. */
  readonly there: Uint8Array;
  lacking: number;
  readonly fidelity: FidelityState;
  /** Distance over expectation of the last look of the short and of the long reference test; NaN if not looked. */
  shortRatio: number;
  longRatio: number;
}

/** What one look found. Reused: copy what is kept. */
export interface Look {
  /** Index into blockShapes, -1 for nothing worth telling. */
  shape: number;
  surprise: number;
}

/**
 * `noise`: one sample's noise per component, by differences of neighbours; `correlation`: that of its neighbours, where it is not
 * white.
 */
export function newBlockTests(noise: Float64Array, first: number, correlation = 0): BlockTestsState {
  const dimension = noise.length;
  const floor = new Float64Array(dimension * dimension);
  for (let j = 0; j < dimension; j++) floor[j * dimension + j] = noise[j]! ** 2;
  return {
    dimension,
    first,
    floor,
    least: scaled(floor, leastShare),
    firstVariances: blockPlans.map((plan) => firstOrderVariance(plan, correlation)),
    limit: limitFor(dimension),
    there: new Uint8Array(dimension).fill(1),
    lacking: 0,
    fidelity: newFidelity(),
    shortRatio: NaN,
    longRatio: NaN,
    lengths: blockPlans.map((plan, s) => {
      const prior = scaled(floor, firstOrderVariance(plan, correlation));
      const scatter = newScatter(dimension, prior, scaled(floor, leastShare * plan.variance));
      return { scatter, tail: newTail(), lowPoint: lowPointFor(0, s, dimension - first), scale: 1 };
    }),
  };
}

/** Rounding of the readings came to light: one sample's noise is not less than this. */
export function raiseFloor(tests: BlockTestsState, j: number, noise: number): void {
  const at = j * (tests.dimension + 1);
  const variance = noise * noise;
  if (tests.floor[at]! < variance) tests.floor[at] = variance;
  if (tests.least[at]! < variance) tests.least[at] = variance;
}

/** One sample's noise was taken to be more than it is. */
export function lowerFloor(tests: BlockTestsState, j: number, noise: number): void {
  const at = j * (tests.dimension + 1);
  const variance = noise * noise;
  tests.floor[at] = Math.min(tests.floor[at]!, variance);
  tests.least[at] = Math.min(tests.least[at]!, leastShare * variance);
}

/** Which components give readings just now. */
export function noteLacking(tests: BlockTestsState, health: readonly HealthState[]): void {
  tests.lacking = 0;
  health.forEach((h, j) => {
    const there = isThere(h);
    tests.there[j] = there ? 1 : 0;
    if (!there && j >= tests.first) tests.lacking++;
  });
}

/** Share of the noise known beforehand that is always added, so that noise-free data divide by something. */
const leastShare = 0.01;

/** Keeps what was learned as a guess only: after this it is outvoted soon. */
export function unlearn(tests: BlockTestsState): void {
  for (const length of tests.lengths) {
    length.scatter.weight = Math.min(length.scatter.weight, guessWeight);
    length.tail = newTail();
    length.scale = 1;
  }
}

/** A break was confirmed: what was seen of it is not how noise behaves. */
export function forgetRecent(tests: BlockTestsState): void {
  for (const { tail } of tests.lengths) dropRecent(tail);
}

/** Observations that a guess is worth. */
const guessWeight = 4;

function scaled(matrix: Float64Array, factor: number): Float64Array {
  return matrix.map((value) => value * factor);
}
