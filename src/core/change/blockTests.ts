// The tests of one cell: for a few block lengths, the mean of the last samples against the mean of the samples before,
// all channels together, by Mahalanobis distance with a covariance learned from the same difference in the past. Each
// length thus knows what correlated noise does to it. The temperature, where known, is component 0 and is conditioned
// upon, not tested: so its own noise, and a wrong thermal coefficient, are taken out by regression at each length.
// This is a window-limited generalised likelihood ratio (Willsky & Jones 1976; Lai 1995) on a sparse set of windows.
import { blockMean } from './history.ts';
import type { HistoryState } from './history.ts';
import { fPoint, logFTail } from './laws.ts';
import { distance, newScatter, observe, priorWeight, refresh } from './scatter.ts';
import type { ScatterState } from './scatter.ts';
import { countLook, countPassage, lowSurprise, newTail, restated } from './tail.ts';
import type { TailState } from './tail.ts';

export interface BlockShape {
  /** Samples of the block tested. */
  readonly length: number;
  /** Samples of the block before it. */
  readonly before: number;
  /** Looked at every so many samples. */
  readonly stride: number;
}

/**
 * Lengths grow by about half an octave where delay counts, by octaves later: a jump between two lengths loses at most
 * a fifth of its distance. The block before is longer, for power against white noise; the short pairs serve noise that
 * wanders. Long blocks are looked at once in a quarter of their length, by which the loss is at most 1/8.
 */
export const blockShapes: readonly BlockShape[] = [
  { length: 2, before: 8, stride: 1 },
  { length: 3, before: 3, stride: 1 },
  { length: 3, before: 12, stride: 1 },
  { length: 5, before: 15, stride: 1 },
  { length: 8, before: 24, stride: 2 },
  { length: 16, before: 32, stride: 4 },
  { length: 32, before: 64, stride: 8 },
  { length: 64, before: 128, stride: 16 },
];

/**
 * Independent looks per sample. There are 4.9 looks per sample over all lengths, but overlapping blocks pass together:
 * in white noise passages come in clusters of about four.
 */
export const looksPerSample = 1.25;

/** Soon after a restart the block before may be short, but not shorter than this and the block tested. */
const shortestBefore = 3;

function leastBefore({ length, before }: BlockShape): number {
  return Math.min(before, Math.max(shortestBefore, length));
}

/** Independent observations that a covariance may be worth: by then Hotelling's law is within a tenth of chi-square. */
const memoryBlocks = 300;

/** A length's tail is learned once its covariance is worth this many observations of its own. */
const matureWeight = 20;

interface LengthState {
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
  readonly floor: Float64Array;
  /** Squared distance beyond which an observation counts less. */
  readonly limit: number;
  /** Distance over expectation of the last look of the short and of the long reference test; NaN if not looked. */
  shortRatio: number;
  longRatio: number;
}

/** What one look found. Reused: copy what is kept. */
export interface Look {
  shape: number;
  surprise: number;
  /** Squared distance. */
  t2: number;
}

/** `noise`: one sample's noise per component. */
export function newBlockTests(noise: Float64Array, first: number): BlockTestsState {
  const dimension = noise.length;
  const floor = new Float64Array(dimension * dimension);
  for (let j = 0; j < dimension; j++) floor[j * dimension + j] = noise[j]! ** 2;
  return {
    dimension,
    first,
    floor,
    limit: limitFor(dimension),
    shortRatio: NaN,
    longRatio: NaN,
    lengths: blockShapes.map((shape) => {
      const scatter = newScatter(dimension, scaled(floor, 1 / shape.length + 1 / shape.before));
      return { scatter, tail: newTail(), lowPoint: lowPointFor(0, shape, dimension - first), scale: 1 };
    }),
  };
}

/** Keeps what was learned as a guess only: after this it is outvoted soon. */
export function unlearn(tests: BlockTestsState): void {
  for (const length of tests.lengths) {
    length.scatter.weight = Math.min(length.scatter.weight, guessWeight);
    length.tail = newTail();
    length.scale = 1;
  }
}

/** Observations that a guess is worth. */
const guessWeight = 4;

function scaled(matrix: Float64Array, factor: number): Float64Array {
  return matrix.map((v) => v * factor);
}

/**
 * Worth of one observation, taken once per block length, in independent ones: blocks in a row share samples. For white
 * noise the covariance of n of them is known as well as from n / (1 + 2 sum of squared correlations).
 */
function independent({ length, before }: BlockShape): number {
  const variance = 1 / length + 1 / before;
  let sum = 1;
  for (let lag = length; lag < length + before; lag += length) {
    // Samples that the later block before shares with the earlier block, and with the earlier block before.
    const crossed = Math.max(0, Math.min(length, length + before - lag));
    const shared = Math.max(0, before - lag);
    const correlation = (shared / before ** 2 - crossed / (length * before)) / variance;
    sum += 2 * correlation ** 2;
  }
  return 1 / sum;
}

/**
 * Surprise of a squared distance. The covariance is known as well as from its prior and its own observations; but its
 * size, which the prior may have wrong, only as well as from its own, `dimension` numbers each.
 */
function surpriseOf(t2: number, weight: number, shape: BlockShape, dimension: number): number {
  const own = weight * independent(shape);
  const known = priorWeight + own;
  const lower = lowerFreedom(own, dimension);
  return -logFTail((t2 * (known - dimension + 1)) / (known * dimension), dimension, lower);
}

/** Two observations stand for what is known of the size beforehand. */
function lowerFreedom(own: number, dimension: number): number {
  return 1 / (1 / (priorWeight + own - dimension + 1) + 1 / (dimension * (own + 2)));
}

const points = new Map<string, number>();

/** Squared distance of the low surprise. Remembered: the search for it is slow, and its argument moves slowly. */
function lowPointFor(weight: number, shape: BlockShape, dimension: number): number {
  const own = Math.round(weight * independent(shape));
  const key = `${dimension}/${own}`;
  const found = points.get(key);
  if (found !== undefined) return found;
  const known = priorWeight + own;
  const point = fPoint(-lowSurprise, dimension, lowerFreedom(own, dimension));
  const t2 = (point * known * dimension) / (known - dimension + 1);
  points.set(key, t2);
  return t2;
}

const work = new Float64Array(64);

/**
 * Looks with every length whose turn it is and learns. Calls `report` for each look whose surprise, restated by its
 * learned tail, reaches `tell`. `shortUnrest` and `longUnrest` (>= 1) are by how much distances are usually larger at
 * this place of the layer.
 */
export function lookAll(
  tests: BlockTestsState,
  history: HistoryState,
  shortUnrest: number,
  longUnrest: number,
  tell: number,
  report: (look: Look) => void,
): void {
  const n = history.count;
  tests.shortRatio = NaN;
  tests.longRatio = NaN;
  for (let s = 0; s < blockShapes.length; s++) {
    const shape = blockShapes[s]!;
    const { length, stride } = shape;
    if (n % stride !== 0 || n < length + leastBefore(shape)) continue;
    lookOne(tests, history, s, s < firstChained ? shortUnrest : longUnrest, tell, report);
  }
}

function lookOne(
  tests: BlockTestsState,
  history: HistoryState,
  s: number,
  unrest: number,
  tell: number,
  report: (look: Look) => void,
): void {
  const { dimension, first } = tests;
  const shape = blockShapes[s]!;
  const state = tests.lengths[s]!;
  const { scatter, tail } = state;
  const { length } = shape;
  const n = history.count;
  const before = n - length < shape.before ? n - length : shape.before;
  const apart = 0.5 * (length + before);
  for (let j = 0; j < dimension; j++) {
    const difference = blockMean(history, n - length, n, j) - blockMean(history, n - length - before, n - length, j);
    work[j] = difference - scatter.slope[j]! * apart;
  }
  // A block before that is still short makes the difference noisier than the one that was learned.
  const usual = (1 / length + 1 / shape.before) / (1 / length + 1 / before);
  const t2 = distance(scatter, work, first) * usual;
  if (s === shortReference) tests.shortRatio = t2 / (dimension - first);
  else if (s === longReference) tests.longRatio = t2 / (dimension - first);
  const held = state.scale > unrest ? t2 / state.scale : t2 / unrest;
  const mature = scatter.weight * independent(shape) >= matureWeight;
  const limit = tests.limit;
  state.scale += ((t2 < limit ? t2 : limit) / (dimension - first) - state.scale) * scaleGain(shape);
  if (mature) countLook(tail);
  if (held > state.lowPoint) {
    const surprise = surpriseOf(held, scatter.weight, shape, dimension - first);
    if (mature) countPassage(tail, surprise);
    const told = restated(tail, surprise);
    if (told >= tell) {
      look.shape = s;
      look.surprise = told;
      look.t2 = held;
      report(look);
    }
  }
  if (n % length === 0) {
    for (let j = 0; j < dimension; j++) work[j]! *= Math.sqrt(usual);
    observe(scatter, work, apart, distance(scatter, work, 0), tests.limit, memoryBlocks / independent(shape));
    if (scatter.stale >= 1 + scatter.weight / 16) {
      refresh(scatter, priorFor(tests, s), scaled(tests.floor, 1 / length + 1 / shape.before));
      state.lowPoint = lowPointFor(scatter.weight, shape, dimension - first);
    }
  }
}

/** The tests by which places of the layer are judged restless: 3 after 12, and 8 after 24. */
const shortReference = 2;
const longReference = 4;

/** Memory of the scale: this many blocks with what goes before them. */
const scaleBlocks = 24;

function scaleGain({ length, before, stride }: BlockShape): number {
  return stride / (scaleBlocks * (length + before));
}

/**
 * What a length's covariance is taken to be before it is learned: that of the next shorter length, shrunk as the two
 * lengths before that have shown block means to shrink here. White noise shrinks with the number of samples, noise that
 * wanders does not.
 */
function priorFor(tests: BlockTestsState, s: number): Float64Array {
  const shape = blockShapes[s]!;
  const white = (t: BlockShape): number => 1 / t.length + 1 / t.before;
  if (s < firstChained) return scaled(tests.floor, white(shape));
  const shorter = tests.lengths[s - 1]!.scatter;
  const shortest = tests.lengths[s - 2]!.scatter;
  let ratio = 0;
  const { dimension } = tests;
  for (let j = 0; j < dimension; j++) {
    ratio += shorter.blended[j * (dimension + 1)]! / shortest.blended[j * (dimension + 1)]! / dimension;
  }
  const fall = Math.log(white(blockShapes[s - 1]!) / white(blockShapes[s - 2]!));
  const power = Math.max(-1, Math.min(1, Math.log(ratio) / fall));
  return scaled(shorter.blended, (white(shape) / white(blockShapes[s - 1]!)) ** power);
}

/** Lengths from here on have two shorter ones of the same kind before them: 2/8, 3/12, 5/15. */
const firstChained = 4;

const look: Look = { shape: 0, surprise: 0, t2: 0 };

/** Distance beyond which an observation counts less: the 99 % point of chi-square (Wilson & Hilferty 1931). */
function limitFor(dimension: number): number {
  const c = 2 / (9 * dimension);
  return dimension * (1 - c + 2.326 * Math.sqrt(c)) ** 3;
}
