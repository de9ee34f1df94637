// The tests of one cell: for a few block lengths, the mean of the last samples against the mean of the samples before,
// all channels together, by Mahalanobis distance with a covariance learned from the same difference in the past. Each
// length thus knows what correlated noise does to it. The temperature, where known, is component 0 and is conditioned
// upon, not tested: so its own noise, and a wrong thermal coefficient, are taken out by regression at each length.
// This is a window-limited generalised likelihood ratio (Willsky & Jones 1976; Lai 1995) on a sparse set of windows.
import { blockDifference, whitenedSquare } from './blockDistance.ts';
import type { BlockPair } from './blockDistance.ts';
import { unrestAt } from './cycle.ts';
import type { CycleState } from './cycle.ts';
import { slot } from './history.ts';
import type { HistoryState } from './history.ts';
import { fPoint, logFTail } from './laws.ts';
import { lean, newScatter, observe, priorWeight, refresh } from './scatter.ts';
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

/** The short tests look at every so many samples, and between whenever the last sample stirs. */
const shortStride = 4;

/**
 * Lengths grow by about half an octave where delay counts, by octaves later: a jump between two lengths loses at most
 * a fifth of its distance. The block before is longer, for power against white noise; the short pairs serve noise that
 * wanders. Long blocks are looked at once in a quarter of their length, by which the loss is at most 1/8.
 */
export const blockShapes: readonly BlockShape[] = [
  { length: 2, before: 8, stride: shortStride },
  { length: 3, before: 3, stride: shortStride },
  { length: 3, before: 12, stride: shortStride },
  { length: 5, before: 15, stride: shortStride },
  { length: 8, before: 24, stride: 2 },
  { length: 16, before: 32, stride: 4 },
  { length: 32, before: 64, stride: 8 },
  { length: 64, before: 128, stride: 16 },
];

/**
 * Independent looks per sample, an estimate: there are two to five looks per sample over all lengths, and overlapping
 * blocks pass together, in white noise by about four. How much remains of them where noise wanders is not known.
 */
export const looksPerSample = 1.25;

/** Soon after a restart the block before may be short, but not shorter than this and the block tested. */
const shortestBefore = 3;

/** Independent observations that a covariance may be worth: by then Hotelling's law is within a tenth of chi-square. */
const memoryBlocks = 300;

/** A length's tail is learned once its covariance is worth this many observations of its own. */
const matureWeight = 20;

/** Lengths from here on (16 and more) speak only when worth so many. */
const firstLong = 5;
const fitWeight = 7;

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
  /** Covariance of one sample taken to be white (row by row), and the least it may be. */
  readonly floor: Float64Array;
  readonly least: Float64Array;
  /** Squared distance beyond which an observation counts less. */
  readonly limit: number;
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

/** `noise`: one sample's noise per component. */
export function newBlockTests(noise: Float64Array, first: number): BlockTestsState {
  const dimension = noise.length;
  const floor = new Float64Array(dimension * dimension);
  for (let j = 0; j < dimension; j++) floor[j * dimension + j] = noise[j]! ** 2;
  return {
    dimension,
    first,
    floor,
    least: scaled(floor, leastShare),
    limit: limitFor(dimension),
    shortRatio: NaN,
    longRatio: NaN,
    lengths: variances.map((variance, s) => {
      const prior = scaled(floor, variance);
      const scatter = newScatter(dimension, prior, scaled(prior, leastShare));
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

/** Share of the noise known beforehand that is always added, so that noise-free data divide by something. */
const leastShare = 0.05;

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
  return scaledInto(new Float64Array(matrix.length), matrix, factor);
}

/** The first `matrix.length` elements of `out` count. */
function scaledInto(out: Float64Array, matrix: Float64Array, factor: number): Float64Array {
  for (let i = 0; i < matrix.length; i++) out[i] = matrix[i]! * factor;
  return out;
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
function surpriseOf(t2: number, weight: number, s: number, dimension: number): number {
  const own = weight * worths[s]!;
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
function lowPointFor(weight: number, s: number, dimension: number): number {
  const own = Math.round(weight * worths[s]!);
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
/** Matrices of one refresh; made larger for cells with more components. */
let priorWork = new Float64Array(64);
let leastWork = new Float64Array(64);

/**
 * Looks with every length whose turn it is and learns. `best` gets the look of greatest surprise, restated by its learned
 * tail, if that reaches `tell`. `place` is that of the layer, -1 for none: where distances are usually larger, more is
 * asked. The short tests look and learn at every fourth sample, and at any other when the last sample lay well off its
 * level (`stirred`): a jump that matters stirs, and looking is what costs time.
 */
export function lookAll(
  tests: BlockTestsState,
  history: HistoryState,
  cycle: CycleState,
  place: number,
  tell: number,
  stirred: boolean,
  best: Look,
): void {
  const n = history.count;
  tests.shortRatio = NaN;
  tests.longRatio = NaN;
  best.shape = -1;
  best.surprise = 0;
  const inTurn = n % shortStride === 0;
  if (inTurn || stirred) {
    for (let s = 0; s < firstChained; s++) {
      const t2 = lookOne(tests, history, s);
      if (t2 > tests.lengths[s]!.lowPoint) judge(tests, s, t2, unrestAt(cycle, place, 0), tell, inTurn, best);
      if (inTurn) learn(tests, s, n, t2);
    }
  }
  for (let s = firstChained; s < blockShapes.length; s++) {
    if (n % strides[s]! !== 0) break;
    const t2 = lookOne(tests, history, s);
    if (t2 > tests.lengths[s]!.lowPoint) judge(tests, s, t2, unrestAt(cycle, place, 1), tell, true, best);
    learn(tests, s, n, t2);
  }
}

/** Reused from look to look. */
const pair: BlockPair = { end: 0, middle: 0, start: 0, perLength: 0, perBefore: 0, apart: 0 };
/** By how much a short block before makes the difference of the last look noisier than the one that was learned: 1 or less. */
let usual = 1;

/**
 * Squared distance between the last block of one length and the block before it; NaN where there are too few samples.
 * Leaves the difference itself in `work`.
 */
function lookOne(tests: BlockTestsState, history: HistoryState, s: number): number {
  const n = history.count;
  const length = lengths[s]!;
  const whole = befores[s]!;
  if (n < length + leastBefores[s]!) return NaN;
  const before = n - length < whole ? n - length : whole;
  const { dimension, first } = tests;
  const { slope, whitener } = tests.lengths[s]!.scatter;
  pair.end = slot(n) * dimension;
  pair.middle = slot(n - length) * dimension;
  pair.start = slot(n - length - before) * dimension;
  pair.perLength = perLengths[s]!;
  pair.perBefore = before === whole ? perBefores[s]! : 1 / before;
  pair.apart = 0.5 * (length + before);
  blockDifference(history.sums, pair, slope, work);
  usual = before === whole ? 1 : variances[s]! / (pair.perLength + pair.perBefore);
  return whitenedSquare(whitener, work, dimension, first) * usual;
}

/** `unrest` (>= 1): by how much distances are usually larger at this place of the layer. */
function judge(
  tests: BlockTestsState,
  s: number,
  t2: number,
  unrest: number,
  tell: number,
  learning: boolean,
  best: Look,
): void {
  const { tail, scatter, scale, lowPoint } = tests.lengths[s]!;
  const held = scale > unrest ? t2 / scale : t2 / unrest;
  const own = scatter.weight * worths[s]!;
  // A long block that has hardly been learned takes the growth of the first layers for a break.
  const fit = s < firstLong || own >= fitWeight;
  if (!fit || held <= lowPoint) return;
  const surprise = surpriseOf(held, scatter.weight, s, tests.dimension - tests.first);
  if (learning && own >= matureWeight) countPassage(tail, surprise);
  const told = restated(tail, surprise);
  if (told < tell || told <= best.surprise) return;
  best.shape = s;
  best.surprise = told;
}

/** `t2`: squared distance of the tested components, given those before them, as just looked at; NaN for none. */
function learn(tests: BlockTestsState, s: number, n: number, t2: number): void {
  if (t2 !== t2) return;
  const { dimension, first, limit } = tests;
  const state = tests.lengths[s]!;
  const { scatter } = state;
  if (scatter.weight * worths[s]! >= matureWeight) countLook(state.tail);
  const ratio = t2 / (dimension - first);
  if (s === shortReference) tests.shortRatio = ratio;
  else if (s === longReference) tests.longRatio = ratio;
  state.scale += ((t2 < limit ? ratio : limit / (dimension - first)) - state.scale) * scaleGains[s]!;
  if (n % learnEvery[s]! !== 0) return;
  if (s >= firstChained) lean(scatter, tests.lengths[s - 1]!.scatter);
  if (usual !== 1) {
    const root = Math.sqrt(usual);
    for (let j = 0; j < dimension; j++) work[j]! *= root;
  }
  // Component 0, where it is not tested, comes first: its own part is its value whitened alone.
  const whole = first > 0 ? t2 + (scatter.whitener[0]! * work[0]!) ** 2 : t2;
  observe(scatter, work, pair.apart, whole, limit, memoryBlocks / worths[s]!);
  if (scatter.stale >= 2 + scatter.weight / 8) relearn(tests, s);
}

/** Puts what was observed since the last time into the yardstick. */
function relearn(tests: BlockTestsState, s: number): void {
  const { dimension, first, least } = tests;
  const state = tests.lengths[s]!;
  if (priorWork.length < least.length) {
    priorWork = new Float64Array(least.length);
    leastWork = new Float64Array(least.length);
  }
  refresh(state.scatter, priorFor(tests, s), scaledInto(leastWork, least, variances[s]!));
  state.lowPoint = lowPointFor(state.scatter.weight, s, dimension - first);
}

/** The tests by which places of the layer are judged restless: 3 after 12, and 8 after 24. */
const shortReference = 2;
const longReference = 4;

/** Memory of the scale: this many blocks with what goes before them. */
const scaleBlocks = 24;

/** The shapes as plain arrays, for the loop. */
const lengths = blockShapes.map((b) => b.length);
const befores = blockShapes.map((b) => b.before);
const strides = blockShapes.map((b) => b.stride);
const perLengths = blockShapes.map((b) => 1 / b.length);
const perBefores = blockShapes.map((b) => 1 / b.before);
const variances = blockShapes.map((b) => 1 / b.length + 1 / b.before);
const leastBefores = blockShapes.map((b) => Math.min(b.before, Math.max(shortestBefore, b.length)));
const scaleGains = blockShapes.map((b) => b.stride / (scaleBlocks * (b.length + b.before)));
/** An observation is taken once per block length, in turn. */
const learnEvery = blockShapes.map((b) => Math.ceil(b.length / b.stride) * b.stride);
const worths = blockShapes.map(independent);

/**
 * What a length's covariance is taken to be before it is learned: that of the next shorter length, shrunk as the two
 * lengths before that have shown block means to shrink here. White noise shrinks with the number of samples, noise that
 * wanders does not.
 */
function priorFor(tests: BlockTestsState, s: number): Float64Array {
  const white = variances[s]!;
  if (s < firstChained) return scaledInto(priorWork, tests.floor, white);
  const shorter = tests.lengths[s - 1]!.scatter;
  const shortest = tests.lengths[s - 2]!.scatter;
  let ratio = 0;
  const { dimension } = tests;
  for (let j = 0; j < dimension; j++) {
    ratio += shorter.blended[j * (dimension + 1)]! / shortest.blended[j * (dimension + 1)]! / dimension;
  }
  const fall = Math.log(variances[s - 1]! / variances[s - 2]!);
  const power = Math.max(-1, Math.min(1, Math.log(ratio) / fall));
  return scaledInto(priorWork, shorter.blended, (white / variances[s - 1]!) ** power);
}

/** Lengths from here on have two shorter ones of the same kind before them: 2/8, 3/12, 5/15. */
const firstChained = 4;

/** Distance beyond which an observation counts less: the 99 % point of chi-square (Wilson & Hilferty 1931). */
function limitFor(dimension: number): number {
  const c = 2 / (9 * dimension);
  return dimension * (1 - c + 2.326 * Math.sqrt(c)) ** 3;
}
