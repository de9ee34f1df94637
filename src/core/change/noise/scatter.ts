// Robust, forgetting estimate of the mean and covariance of a vector that is usually noise: multivariate Huber weights
// (Maronna 1976) applied one observation at a time, started from a prior worth a few observations. One event can move it
// by no more than a handful of ordinary observations would, and what it did is forgotten.
// Component order and units are the caller's; matrices are row by row.

import { leastSquare } from './blockDistance.ts';
import { learnMoments } from './secondMoments.ts';
import type { Shares } from './secondMoments.ts';
import { inverse } from './symmetric.ts';

export interface ScatterState {
  readonly dimension: number;
  /** Observations the estimate is worth, prior not included. */
  weight: number;
  /** Observations since the inverse factor was made. */
  stale: number;
  /** Mean per unit of separation: the trend. */
  readonly slope: Float64Array;
  /** Second moments about the mean, from observations alone. */
  readonly covariance: Float64Array;
  /** The same with the prior in it: what distances are measured by. Lower triangle. */
  readonly blended: Float64Array;
  /** Inverse of the lower Cholesky factor: the whitening matrix. */
  readonly whitener: Float64Array;
}

/**
 * What the prior is worth, in observations. It comes from many more observations of shorter blocks; what it may have
 * wrong is chiefly its size, and that is followed apart from this.
 */
export const priorWeight = 40;

export function newScatter(dimension: number, prior: Float64Array, least: Float64Array): ScatterState {
  const state: ScatterState = {
    dimension,
    weight: 0,
    stale: 0,
    slope: new Float64Array(dimension),
    covariance: prior.slice(),
    blended: prior.slice(),
    whitener: new Float64Array(dimension * dimension),
  };
  refresh(state, prior, least);
  return state;
}

/** What comes with an observation; reused. `trust` and `gain` follow from the rest. */
export interface Observation extends Shares {
  /** The trend's units between what was subtracted. */
  apart: number;
  /** Squared distance, as whitened now, and that beyond which an observation counts less. */
  q: number;
  limit: number;
  /** The most observations the estimate is worth. */
  memory: number;
}

/** Takes one observation into the estimate. `value` comes with the trend taken off. */
export function observe(state: ScatterState, value: Float64Array, observation: Observation): void {
  const { dimension, slope, covariance } = state;
  const { apart, q, limit, memory } = observation;
  state.weight = state.weight + 1 > memory ? memory : state.weight + 1;
  observation.gain = 1 / state.weight;
  const trust = q > limit ? limit / q : 1;
  const pull = (q > limit ? Math.sqrt(trust) : 1) / ((state.weight + trendPrior) * apart);
  observation.trust = trust;
  learnMoments(covariance, value, dimension, observation);
  for (let i = 0; i < dimension; i++) slope[i]! += pull * value[i]!;
  state.stale++;
}

/** Components that are not there (`there` is 0), and the covariance of them given the others, row by row. */
interface Lacking {
  readonly components: readonly number[];
  readonly covariance: readonly number[];
}

/**
 * Puts in for the components that lack what the others lead to expect: the squared distance is then that of the others
 * alone.
 */
export function impute(state: ScatterState, value: Float64Array, there: Uint8Array): Lacking {
  const { dimension: n, whitener } = state;
  const components = Array.from({ length: n }, (_, i) => i).filter((i) => there[i] === 0);
  const precision = (i: number, k: number): number => {
    let sum = 0;
    for (let r = Math.max(i, k); r < n; r++) sum += whitener[r * n + i]! * whitener[r * n + k]!;
    return sum;
  };
  const m = components.length;
  const covariance = inverse(
    components.flatMap((i) => components.map((k) => precision(i, k))),
    m,
  );
  const pull = components.map((i) => {
    let sum = 0;
    for (let k = 0; k < n; k++) if (there[k] !== 0) sum -= precision(i, k) * value[k]!;
    return sum;
  });
  components.forEach((i, a) => (value[i] = pull.reduce((sum, p, b) => sum + covariance[a * m + b]! * p, 0)));
  return { components, covariance };
}

/**
 * Takes an observation in which components lack: they are put in, with the uncertainty of that (Dempster, Laird & Rubin
 * 1977), so what is known of them stays.
 */
export function observePart(
  state: ScatterState,
  value: Float64Array,
  observation: Observation,
  there: Uint8Array,
): void {
  const { dimension: n, covariance, slope } = state;
  const lacking = impute(state, value, there);
  const kept = lacking.components.map((i) => slope[i]!);
  observe(state, value, observation);
  const gain = 1 / state.weight;
  lacking.components.forEach((i, a) => {
    slope[i] = kept[a]!;
    lacking.components.forEach((k, b) => {
      if (k <= i) covariance[i * n + k]! += gain * lacking.covariance[a * lacking.components.length + b]!;
    });
  });
}

/** The Cholesky factor of one refresh; made larger for more components. */
let factor = new Float64Array(25);

/**
 * Makes the whitener anew from observations and `prior` (lower triangles), each by its worth. The diagonal of `least` is
 * always added, so that noise-free data divide by something.
 */
export function refresh(state: ScatterState, prior: Float64Array, least: Float64Array): void {
  const { dimension: n, covariance, blended, whitener, weight } = state;
  state.stale = 0;
  const trust = weight / (weight + priorWeight);
  if (factor.length < n * n) factor = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      const at = i * n + j;
      blended[at] = trust * covariance[at]! + (1 - trust) * prior[at]!;
      if (i === j) blended[at]! += least[at]!;
    }
  }
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = blended[i * n + j]!;
      for (let k = 0; k < j; k++) sum -= factor[i * n + k]! * factor[j * n + k]!;
      if (i !== j) factor[i * n + j] = sum / factor[j * n + j]!;
      else {
        // A pivot lost to rounding means channels that say the same; they then keep a thousandth of their variance.
        const kept = 1e-3 * blended[i * n + i]!;
        factor[i * n + i] = Math.sqrt(sum > kept ? sum : kept);
      }
    }
  }
  for (let j = 0; j < n; j++) {
    for (let i = 0; i < n; i++) {
      if (i < j) whitener[i * n + j] = 0;
      else if (i === j) whitener[i * n + i] = 1 / factor[i * n + i]!;
      else {
        let sum = 0;
        for (let k = j; k < i; k++) sum -= factor[i * n + k]! * whitener[k * n + j]!;
        whitener[i * n + j] = sum / factor[i * n + i]!;
      }
    }
  }
}

/** Draws a young trend towards that of shorter blocks, which have been seen more often. */
export function lean(state: ScatterState, shorter: ScatterState): void {
  const share = trendPrior / (state.weight + 2 * trendPrior);
  for (let i = 0; i < state.dimension; i++) state.slope[i]! += share * (shorter.slope[i]! - state.slope[i]!);
}

/** No trend is worth this many observations beforehand. */
const trendPrior = 4;
/** Squared distance of `value`, counting components from `first` on, given those before it. */
export function distance(state: ScatterState, value: Float64Array, first: number): number {
  const { dimension, whitener } = state;
  let q = 0;
  for (let i = first; i < dimension; i++) {
    const row = i * dimension;
    let w = 0;
    for (let j = 0; j <= i; j++) w += whitener[row + j]! * value[j]!;
    q += w * w;
  }
  return first === 1 ? leastSquare(whitener, value, dimension, q) : q;
}
