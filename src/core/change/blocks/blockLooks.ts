// Looks with the tests of one cell, and what they learn by it. What the tests are and remember stands in `blockTests.ts`.
import { lookAtBlocks } from '../noise/blockDistance.ts';
import {
  blockPlans,
  everyLook,
  fidelityMask,
  firstChained,
  firstLong,
  fitWeight,
  longReference,
  matureWeight,
  shortReference,
} from '../noise/blockShapes.ts';
import type { BlockPlan } from '../noise/blockShapes.ts';
import type { BlockTestsState, Look } from './blockTests.ts';
import { infidelityAt, learnFidelity } from '../cycle/cycleFidelity.ts';
import { judgedSpan } from '../cycle/cycle.ts';
import type { CycleState } from '../cycle/cycle.ts';
import { slot } from '../history.ts';
import type { HistoryState } from '../history.ts';
import { distance, impute, lean, observe, observePart, refresh } from '../noise/scatter.ts';
import type { Observation, ScatterState } from '../noise/scatter.ts';
import { lowPointFor, surpriseOf } from '../noise/surprise.ts';
import { countLook, countPassage, restated } from '../noise/tail.ts';
import { passingUnrest, unrestAt } from '../cycle/unrest.ts';

/** Matrices of one refresh; made larger for cells with more components. */
let priorWork = new Float64Array(64);
let leastWork = new Float64Array(64);

/** What a cell's looks work with; made once, `place` set sample by sample. */
export interface LookTools {
  readonly cycle: CycleState;
  /** Place of the sample in the layer, -1 for none: where distances are usually larger, more is asked. */
  place: number;
  /** Rows in one sample, and the first of the shapes that may speak. */
  readonly rows: number;
  readonly firstShape: number;
  /** Where samples are means of rows: the tests of the rows themselves. */
  readonly finer: BlockTestsState | undefined;
  /** Surprise from which a look is worth telling. */
  tell: number;
  /** The look of greatest surprise, restated by its learned tail, if that reaches `tell`. */
  readonly best: Look;
  /** The difference of the last look, and its squared distance after it. */
  readonly work: Float64Array;
}

/** What looks at single rows of so many components work with. */
export function rowTools(cycle: CycleState, best: Look, dimension: number): LookTools {
  const work = new Float64Array(dimension + 1);
  return { cycle, place: -1, rows: 1, firstShape: 0, finer: undefined, tell: Infinity, best, work };
}

/** Whether any test looks at the `n`-th sample. */
export function looksAt(n: number, stirred: boolean): boolean {
  return stirred || (n & everyLook) === 0;
}

/**
 * Looks with every length whose turn it is and learns. The short tests look and learn at every fourth sample, and at any
 * other when the last sample lay well off its level (`stirred`): a jump that matters stirs, and looking is what costs time.
 */
export function lookAll(tests: BlockTestsState, history: HistoryState, tools: LookTools, stirred: boolean): void {
  const n = history.count;
  const { best } = tools;
  const plans = blockPlans;
  tests.shortRatio = NaN;
  tests.longRatio = NaN;
  best.shape = -1;
  best.surprise = 0;
  // Means need no short tests: those of the rows are longer.
  const inTurn = (n & plans[0]!.lookMask) === 0 && tools.rows === 1;
  if (inTurn || stirred) {
    for (let s = 0; s < firstChained; s++) lookOne(tests, history, s, plans[s]!, tools, inTurn);
  }
  for (let s = firstChained; s < plans.length; s++) {
    const plan = plans[s]!;
    if ((n & plan.lookMask) !== 0) break;
    lookOne(tests, history, s, plan, tools, true);
  }
}

function lookOne(
  tests: BlockTestsState,
  history: HistoryState,
  s: number,
  plan: BlockPlan,
  tools: LookTools,
  learning: boolean,
): void {
  const { length, before: whole } = plan;
  const n = history.count;
  if (n < length + plan.leastBefore) return;
  const before = n - length < whole ? n - length : whole;
  const { dimension, first } = tests;
  const { work } = tools;
  const state = tests.lengths[s]!;
  const { slope, whitener } = state.scatter;
  const end = slot(n) * dimension;
  const middle = slot(n - length) * dimension;
  const start = slot(n - length - before) * dimension;
  lookAtBlocks(history.sums, slope, whitener, first, end, middle, start, length, before, work);
  if (tests.lacking > 0) lookAtPart(tests, state.scatter, first, work);
  if (before < whole) shrink(work, dimension, plan.variance / (1 / length + 1 / before));
  if (work[dimension]! > state.lowPoint) weigh(tests, history, s, before, tools, learning);
  if (!learning) return;
  seen.apart = 0.5 * (length + before);
  if ((s === shortReference || s === longReference) && (n & fidelityMask) === 0 && tools.place >= 0) {
    learnFidelity(tests.fidelity, history, state.scatter, first, length, before, work, testedNow(tests));
  }
  learn(tests, s, plan, n, tools);
}

/** A distance that would be surprising is held against what is usual at this place. Apart, since it is seldom called. */
function weigh(
  tests: BlockTestsState,
  history: HistoryState,
  s: number,
  before: number,
  tools: LookTools,
  learning: boolean,
): void {
  const { cycle, place, rows, firstShape, work } = tools;
  const { length, span } = blockPlans[s]!;
  if (s < firstShape || span * rows > judgedSpan(cycle, place)) return;
  const unrest = rows > 1 ? passingUnrest(cycle, place) : unrestAt(cycle, place, s < firstChained ? 0 : 1);
  const { scatter, lowPoint } = tests.lengths[s]!;
  if (work[tests.dimension]! <= unrest * lowPoint) return;
  const untrue = infidelityAt(tests.fidelity, history, scatter, tests.first, length, before);
  judge(tests, s, unrest > untrue ? unrest : untrue, tools, learning);
}

/** Some components give no readings: the distance is that of the others. */
function lookAtPart(
  { dimension, there }: BlockTestsState,
  scatter: ScatterState,
  first: number,
  work: Float64Array,
): void {
  impute(scatter, work, there);
  work[dimension] = distance(scatter, work, first);
}

/** A block before that is still short makes the difference noisier than the one that was learned. */
function shrink(work: Float64Array, dimension: number, usual: number): void {
  const root = Math.sqrt(usual);
  for (let j = 0; j < dimension; j++) work[j]! *= root;
  work[dimension]! *= usual;
}

/** `unrest` (>= 1): by how much distances are usually larger at this place of the layer. */
function judge(
  tests: BlockTestsState,
  s: number,
  unrest: number,
  { work, tell, best }: LookTools,
  learning: boolean,
): void {
  const t2 = work[tests.dimension]!;
  const { tail, scatter, scale, lowPoint } = tests.lengths[s]!;
  const held = scale > unrest ? t2 / scale : t2 / unrest;
  const own = scatter.weight * blockPlans[s]!.worth;
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

/** The observation at hand. The numbers it begins with are broken ones, so that its fields are made for such. */
const seen: Observation = { apart: 0.5, q: 0.5, limit: 0.5, memory: 0.5, trust: 0.5, gain: 0.5 };

/**
 * `work`: the difference just looked at, of blocks that lie `seen.apart` samples apart, and after it the squared distance of
 * its tested components, given those before them.
 */
function learn(tests: BlockTestsState, s: number, plan: BlockPlan, n: number, tools: LookTools): void {
  const { dimension, first, limit } = tests;
  const { work } = tools;
  const state = tests.lengths[s]!;
  const { scatter } = state;
  const t2 = work[dimension]!;
  if (scatter.weight * plan.worth >= matureWeight) countLook(state.tail);
  const tested = testedNow(tests);
  const ratio = t2 / tested;
  if (s === shortReference) tests.shortRatio = ratio;
  else if (s === longReference) tests.longRatio = ratio;
  state.scale += ((t2 < limit ? ratio : limit / tested) - state.scale) * plan.scaleGain;
  if ((n & plan.learnMask) !== 0) return;
  if (s >= firstChained) lean(scatter, tests.lengths[s - 1]!.scatter);
  // Component 0, where it is not tested, comes first: its own part is its value whitened alone.
  seen.q = first > 0 ? t2 + (scatter.whitener[0]! * work[0]!) ** 2 : t2;
  seen.limit = limit;
  seen.memory = plan.memory;
  if (tests.lacking === 0) observe(scatter, work, seen);
  else observePart(scatter, work, seen, tests.there);
  if (scatter.stale >= 2 + scatter.weight / 8) relearn(tests, s, tools);
}

/** Components tested that give readings; the first, where it is not tested, is never counted as lacking. */
function testedNow({ dimension, first, lacking }: BlockTestsState): number {
  return Math.max(1, dimension - first - lacking);
}

/** Puts what was observed since the last time into the yardstick. */
function relearn(tests: BlockTestsState, s: number, { finer, rows }: LookTools): void {
  const { dimension, first, least } = tests;
  const state = tests.lengths[s]!;
  if (priorWork.length < least.length) {
    priorWork = new Float64Array(least.length);
    leastWork = new Float64Array(least.length);
  }
  // Means have no short tests, so the first two of theirs have no two shorter ones before them.
  const prior = finer && s <= firstChained + 1 ? priorByFiner(finer, s, rows) : priorFor(tests, s);
  refresh(state.scatter, prior, scaledInto(leastWork, least, blockPlans[s]!.variance));
  state.lowPoint = lowPointFor(state.scatter.weight, s, dimension - first);
}

/**
 * What a length's covariance is taken to be before it is learned: that of the next shorter length, shrunk as the two
 * lengths before that have shown block means to shrink here. White noise shrinks with the number of samples, noise that
 * wanders does not. The shortest are taken to be as the first rows' correlation has it.
 */
function priorFor(tests: BlockTestsState, s: number): Float64Array {
  if (s < firstChained) return scaledInto(priorWork, tests.floor, tests.firstVariances[s]!);
  return extrapolated(tests, s - 1, blockPlans[s]!.variance);
}

/** Before samples that are means of rows tell anything, the rows' own tests of blocks as long tell what to expect. */
function priorByFiner(finer: BlockTestsState, s: number, rows: number): Float64Array {
  const plan = blockPlans[s]!;
  let as = firstChained;
  while (as + 1 < blockPlans.length && blockPlans[as + 1]!.length <= plan.length * rows) as++;
  return extrapolated(finer, as, plan.variance / rows);
}

/** From the covariances of the lengths `s` and `s` - 1 to that of blocks whose difference has this variance in white noise. */
function extrapolated({ dimension, lengths }: BlockTestsState, s: number, variance: number): Float64Array {
  const { blended } = lengths[s]!.scatter;
  const shorter = lengths[s - 1]!.scatter.blended;
  let ratio = 0;
  for (let i = 0; i < blended.length; i += dimension + 1) ratio += blended[i]! / shorter[i]! / dimension;
  const fall = Math.log(blockPlans[s]!.variance / blockPlans[s - 1]!.variance);
  const power = Math.max(-1, Math.min(1, Math.log(ratio) / fall));
  return scaledInto(priorWork, blended, (variance / blockPlans[s]!.variance) ** power);
}

/** The first `matrix.length` elements of `out` count. */
function scaledInto(out: Float64Array, matrix: Float64Array, factor: number): Float64Array {
  for (let i = 0; i < matrix.length; i++) out[i] = matrix[i]! * factor;
  return out;
}
