// A blow that is over within a sample: one sample against the two before and the two after it, all fibres of the cell
// together. No block test sees it: they hold single samples to a few noises, since one channel's wild sample is no matter of the
// metal. So what is asked here is whether several channels left their levels together: the squared distance is judged as it
// is, and less what the likeliest lone channel explains of it. Against both sides noise that wanders drops out, and a step is
// told from a blow. Its covariance is learned from every sixteenth sample, how far single samples go from those that stir.
import { blockPlans, fitWeight } from '../noise/blockShapes.ts';
import type { BlockTestsState } from './blockTests.ts';
import { slot } from '../history.ts';
import type { HistoryState } from '../history.ts';
import { fPoint, logFTail } from '../noise/laws.ts';
import { distance, impute, newScatter, observe, observePart, priorWeight, refresh } from '../noise/scatter.ts';
import type { Observation, ScatterState } from '../noise/scatter.ts';
import { countBlindly, countWild, countWildLooks, newWildTail, wildLevel, wildSurprise } from '../noise/wildTail.ts';
import type { WildTail } from '../noise/wildTail.ts';

export interface BlowTestState {
  readonly scatter: ScatterState;
  readonly tail: WildTail;
  /** Squared distance of the low level, for what the covariance is worth. */
  point: number;
  /** How much the last samples stirred: the most of late, and at which sample of the history; 0 for none. */
  stir: number;
  at: number;
  /** Samples until one may be told. */
  untaught: number;
}

/** What was found of the sample two before the last. Reused: copy what is kept. */
export interface BlowLook {
  /** Surprise of all channels together by the law, and restated by the tail learned. */
  byLaw: number;
  surprise: number;
  sigmas: number;
  /** By how much squared distances are larger at this place of the layer. */
  unrest: number;
  /** Per component, by how much the sample stood off; and so much of it as no step of the cycle explains. */
  readonly delta: Float64Array;
  readonly rest: Float64Array;
}

/** Samples on each side. */
export const blowSide = 2;
/** What is known is learned at samples whose count has none of these bits: at every sixteenth, and at every 128th once it is well known. */
export const blowMask = 15;
const knownMask = 127;
/** Variance of the difference in white noise of one. */
const variance = 1 + 1 / (2 * blowSide);
/** As many samples as the longest block test needs. */
const untaughtSamples = 192;
/** Memory in observations: five samples apart they are independent. */
const memory = 300;
/** Observations that the size of what is taken to be known beforehand is worth. */
const sizeWorth = 2;
/** What is left after a blow, over the blow: beyond this it was a step. */
const leftShare = 0.5;

export function newBlowTest({ dimension, first, floor, least }: BlockTestsState): BlowTestState {
  const prior = floor.map((value) => value * variance);
  return {
    scatter: newScatter(dimension, prior, least),
    tail: newWildTail(),
    point: pointFor(0, dimension - first),
    stir: 0,
    at: 0,
    untaught: untaughtSamples,
  };
}

/** Nothing that came before is a yardstick: the history begins anew. */
export function forgetStir(state: BlowTestState): void {
  state.stir = 0;
  state.at = 0;
}

/** Whether the sample two before the `n`-th is to be looked at; `stir`: how much that one stirs, 0 where hardly. */
export function blowDue(state: BlowTestState, n: number, stir: number): boolean {
  if (stir > 0 && (stir > state.stir || n - state.at > blowSide)) {
    state.stir = stir;
    state.at = n;
    return false;
  }
  if (state.at === 0 || n - state.at < blowSide) return false;
  const due = n - state.at === blowSide;
  if (due) forgetStir(state);
  return due && n > 2 * blowSide;
}

/** Scratch, made larger for cells with more components. */
let off = new Float64Array(8);
let risen = new Float64Array(8);
let step = new Float64Array(8);
let white = new Float64Array(8);
let whiteStep = new Float64Array(8);
const seen: Observation = { apart: 1, q: 0.5, limit: 0.5, memory, trust: 0.5, gain: 0.5 };

function makeRoom(dimension: number): void {
  if (off.length === dimension) return;
  off = new Float64Array(dimension);
  risen = new Float64Array(dimension);
  step = new Float64Array(dimension);
  white = new Float64Array(dimension);
  whiteStep = new Float64Array(dimension);
}

/** Learns from the sample two before the last. */
export function learnBlow(state: BlowTestState, tests: BlockTestsState, history: HistoryState): void {
  const { scatter } = state;
  const { dimension, first, limit, there } = tests;
  state.untaught -= Math.min(state.untaught, blowMask + 1);
  countWildLooks(state.tail, blowMask + 1);
  if (history.count <= 2 * blowSide || (scatter.weight >= memory && (history.count & knownMask) !== 0)) return;
  makeRoom(dimension);
  standOff(history.raw, history, off);
  const square = distance(scatter, off, first);
  if (tests.lacking === 0 && scatter.weight >= fitWeight)
    countBlindly(state.tail, surpriseOfSquare(square, scatter.weight, dimension - first));
  seen.q = square;
  seen.limit = limit;
  if (tests.lacking === 0) observe(scatter, off, seen);
  else observePart(scatter, off, seen, there);
  if (scatter.stale < 2 + scatter.weight / 8) return;
  relearn(state, tests);
}

function relearn(state: BlowTestState, { dimension, first, least, lengths }: BlockTestsState): void {
  const { scatter } = state;
  // Before it is learned: of the form that the shortest block test has, and of the size that white noise would have. Noise
  // that wanders leaves less: so the size is believed for no more than two observations.
  const prior = lengths[0]!.scatter.blended.map((v) => (v * variance) / blockPlans[0]!.variance);
  let ratio = 0;
  for (let at = 0; at < prior.length; at += dimension + 1) ratio += scatter.covariance[at]! / prior[at]! / dimension;
  const size = (sizeWorth + scatter.weight * ratio) / (sizeWorth + scatter.weight);
  for (let at = 0; at < prior.length; at++) prior[at]! *= size;
  refresh(scatter, prior, least);
  state.point = pointFor(scatter.weight, dimension - first);
}

const points = new Map<number, number>();

/** Squared distance of `channels` channels at the low level. Remembered: the search for it is slow. */
function pointFor(weight: number, channels: number): number {
  const key = 1000 * channels + Math.round(weight);
  const found = points.get(key);
  if (found !== undefined) return found;
  const { known, lower } = worth(Math.round(weight), channels);
  const point = (fPoint(-wildLevel, channels, lower) * known * channels) / (known - channels + 1);
  points.set(key, point);
  return point;
}

/** The sample two before the last, less the mean of those on both sides of it; of levels. */
function standOff(levels: Float64Array, { dimension, count }: HistoryState, out: Float64Array): void {
  const at = slot(count - 2) * dimension;
  const a = slot(count - 4) * dimension;
  const b = slot(count - 3) * dimension;
  const c = slot(count - 1) * dimension;
  const d = slot(count) * dimension;
  for (let j = 0; j < dimension; j++)
    out[j] = levels[at + j]! - 0.25 * (levels[a + j]! + levels[b + j]! + levels[c + j]! + levels[d + j]!);
}

/** Whether the sample two before the last stands off by more than the low level, whatever its place in the layer. */
export function standsOff(state: BlowTestState, tests: BlockTestsState, history: HistoryState): boolean {
  const { scatter } = state;
  const { dimension, first, lacking, there } = tests;
  makeRoom(dimension);
  standOff(history.raw, history, off);
  if (dimension - first - lacking < 2) return false;
  if (lacking > 0) impute(scatter, off, there);
  // With channels that lack the level is lower.
  return lacking > 0 || distance(scatter, off, first) > state.point;
}

/**
 * Looks at a sample that `standsOff`; `unrest` (>= 1): by how much squared distances are usually larger at this place of the
 * layer, `hasCycle`: there are layers. False where it is no blow.
 */
export function lookAtBlow(
  state: BlowTestState,
  tests: BlockTestsState,
  history: HistoryState,
  unrest: number,
  hasCycle: boolean,
  look: BlowLook,
): boolean {
  const { scatter } = state;
  const { dimension, first, lacking } = tests;
  look.delta.set(off);
  const square = distance(scatter, off, first);
  const left = stepsAway(history, scatter, tests);
  if (left > tests.limit && left > leftShare * leftShare * square) return false;
  if (hasCycle) takeOffStep(history, tests, scatter);
  const rest = distance(scatter, off, first) / unrest;
  look.byLaw = surpriseOfSquare(rest, scatter.weight, dimension - first - lacking);
  if (look.byLaw <= wildLevel) return false;
  look.surprise = wildSurprise(state.tail, look.byLaw);
  look.sigmas = Math.sqrt(rest);
  look.unrest = unrest;
  look.rest.set(off);
  return true;
}

/** A blow that is not told is how single samples go here. */
export function countBlow({ tail }: BlowTestState, { byLaw }: BlowLook): void {
  countWild(tail, byLaw);
}

/** Squared distance of what is left after the sample from what was before it. */
function stepsAway({ raw, dimension, count }: HistoryState, scatter: ScatterState, tests: BlockTestsState): number {
  const a = slot(count - 4) * dimension;
  const b = slot(count - 3) * dimension;
  const c = slot(count - 1) * dimension;
  const d = slot(count) * dimension;
  for (let j = 0; j < dimension; j++) step[j] = 0.5 * (raw[c + j]! + raw[d + j]! - raw[a + j]! - raw[b + j]!);
  if (tests.lacking > 0) impute(scatter, step, tests.there);
  return distance(scatter, step, tests.first);
}

/** Where the cycle takes a step nearby, so much of it is taken off as one that came early or late may have left. */
function takeOffStep(history: HistoryState, { first }: BlockTestsState, scatter: ScatterState): void {
  const { dimension, takenSums, count } = history;
  let most = 0;
  for (let ago = 0; ago <= 2 * blowSide; ago++) {
    const [after, at, before] = [slot(count - ago), slot(count - ago - 1), slot(count - ago - 2)];
    if (count - ago - 2 < 0) break;
    for (let j = 0; j < dimension; j++) {
      const sum = takenSums[at * dimension + j]!;
      risen[j] = takenSums[after * dimension + j]! - sum - (sum - takenSums[before * dimension + j]!);
    }
    const size = distance(scatter, risen, first);
    if (size <= most) continue;
    most = size;
    step.set(risen);
  }
  if (!(most > 0)) return;
  whiten(scatter, off, first, white);
  whiten(scatter, step, first, whiteStep);
  let [along, length] = [0, 0];
  for (let j = first; j < dimension; j++) {
    along += white[j]! * whiteStep[j]!;
    length += whiteStep[j]! * whiteStep[j]!;
  }
  const times = Math.max(-1, Math.min(1, along / length));
  for (let j = 0; j < dimension; j++) off[j]! -= times * step[j]!;
}

function whiten({ dimension, whitener }: ScatterState, value: Float64Array, first: number, out: Float64Array): void {
  for (let i = first; i < dimension; i++) {
    let w = 0;
    for (let j = 0; j <= i; j++) w += whitener[i * dimension + j]! * value[j]!;
    out[i] = w;
  }
}

/** As for block tests; of as many channels. */
function surpriseOfSquare(square: number, weight: number, channels: number): number {
  const { known, lower } = worth(weight, channels);
  return -logFTail((square * (known - channels + 1)) / (known * channels), channels, lower);
}

/** Observations that the covariance is worth, and the lower degrees of Fisher's law that follow. */
function worth(weight: number, channels: number): { known: number; lower: number } {
  const known = priorWeight + weight;
  return { known, lower: 1 / (1 / (known - channels + 1) + 1 / (channels * (weight + sizeWorth))) };
}
