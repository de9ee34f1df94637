// How truly a cell's layers repeat each other. A layer pulls a little more or less than the others, in a direction that turns
// with its scan lines, and each of its steps begins a little early or late. The first leaves a share of the cycle in what
// the tests see, the second a share of its rate. Both shares are the same at every place of the layer, so a few layers teach
// them, long before each place has told how restless it is.
// Model, in the test's own measure: expected squared distance = components tested + amplitude (cycle seen by the test)^2 +
// timing (its rate per sample)^2. The two variances by stochastic gradient of the exponential law's likelihood, on the scale
// of their logarithms (Robbins & Monro 1951).
import { lookAtBlocks } from '../noise/blockDistance.ts';
import { slot } from '../history.ts';
import type { HistoryState } from '../history.ts';
import { distance } from '../noise/scatter.ts';
import type { ScatterState } from '../noise/scatter.ts';

export interface FidelityState {
  /** Variance of a layer's size, as a share of the cycle's; and of its steps' time, samples squared. */
  amplitude: number;
  timing: number;
  /** Looks that have told of it. */
  seen: number;
}

/** A fifth of the cycle, and half a sample: a cell's layers are taken to be so untrue until they have told. */
const firstAmplitude = 0.04;
const firstTiming = 0.25;
/** Share of a look that is learned at first and in the end, and the looks that it takes to halve it. */
const firstGain = 0.25;
const lastGain = 0.04;
const halvingLooks = 20;
/** A look counts for no more than so many times what was expected: it may be a break. */
const mostRatio = 4;
/** Looks at which the cycle hardly goes by, by its share of what is expected, tell nothing of it. */
const leastShare = 0.1;
/** What the cycle leaves lies mostly in one direction of several: so much of it counts against a distance as a whole. */
const againstAll = 0.5;

export function newFidelity(): FidelityState {
  return { amplitude: firstAmplitude, timing: firstTiming, seen: 0 };
}

/** Squared distance that a look sees of the cycle itself, and of its change in one sample. Reused. */
const passing = { size: 0.5, rate: 0.5 };
/** No trend; and the differences of a look at the cycle, now and a sample ago. Made anew for cells with other components. */
let level = new Float64Array(8);
let now = new Float64Array(9);
let ago = new Float64Array(9);

/**
 * Factor (>= 1) by which squared distances are larger because of the cycle that goes by just now, for the test with this
 * `scatter` and blocks of `length` samples and `before`.
 */
export function infidelityAt(
  { amplitude, timing }: FidelityState,
  history: HistoryState,
  scatter: ScatterState,
  first: number,
  length: number,
  before: number,
): number {
  seeCycle(history, scatter, first, length, before);
  return 1 + againstAll * (amplitude * passing.size + timing * passing.rate);
}

/**
 * Learns from one look: `look` is its difference and, after that, its squared distance, of `tested` components. (A distance
 * handed over as a number would be put on the heap at every look, whether it comes to this or not.)
 */
export function learnFidelity(
  state: FidelityState,
  history: HistoryState,
  scatter: ScatterState,
  first: number,
  length: number,
  before: number,
  look: Float64Array,
  tested: number,
): void {
  seeCycle(history, scatter, first, length, before);
  const bySize = state.amplitude * passing.size;
  const byRate = state.timing * passing.rate;
  if (!(bySize + byRate > leastShare * tested)) return;
  const expected = tested + bySize + byRate;
  const surplus = Math.min(mostRatio, look[history.dimension]! / expected) - 1;
  const gain = Math.max(lastGain, firstGain / (1 + ++state.seen / halvingLooks));
  state.amplitude *= Math.exp((gain * surplus * bySize) / expected);
  state.timing *= Math.exp((gain * surplus * byRate) / expected);
}

function seeCycle(history: HistoryState, scatter: ScatterState, first: number, length: number, before: number): void {
  const { dimension, count } = history;
  if (level.length !== dimension) {
    level = new Float64Array(dimension);
    now = new Float64Array(dimension + 1);
    ago = new Float64Array(dimension + 1);
  }
  lookAtCycle(history, scatter, first, count, length, before, now);
  passing.size = now[dimension]!;
  // Nothing was there before the first sample.
  lookAtCycle(history, scatter, first, count - 1, length, Math.min(before, count - 1 - length), ago);
  for (let j = 0; j < dimension; j++) ago[j] = now[j]! - ago[j]!;
  passing.rate = distance(scatter, ago, first);
}

function lookAtCycle(
  { dimension, takenSums }: HistoryState,
  { whitener }: ScatterState,
  first: number,
  n: number,
  length: number,
  before: number,
  out: Float64Array,
): void {
  const end = slot(n) * dimension;
  const middle = slot(n - length) * dimension;
  const start = slot(n - length - before) * dimension;
  lookAtBlocks(takenSums, level, whitener, first, end, middle, start, length, before, out);
}
