// Measures one change once it is suspected: where it began, by how much each channel changed, what that means for the
// tensors and their principal directions, and whether one channel did it alone. Runs seldom, so clarity before speed.
// The estimate of the split is that of maximum likelihood for a jump in a multivariate mean (Hinkley 1970).
import { trimmedMean } from '../../strain/robust.ts';
import { blockPlans, blockShapes, shortReference } from '../noise/blockShapes.ts';
import type { BlockTestsState } from '../blocks/blockTests.ts';
import type { CellFrame } from '../cellFrame.ts';
import type { RosetteChange } from '../findings.ts';
import type { Weighed } from './cycleMatch.ts';
import { liftS } from '../durations.ts';
import { blockMean, ringSize, slot } from '../history.ts';
import type { HistoryState } from '../history.ts';
import { distance } from '../noise/scatter.ts';
import { soloVerdict } from './soloist.ts';
import { rosetteChange } from './rosetteChange.ts';
import { inverse } from '../noise/symmetric.ts';

/** A difference of temperature of so many of its usual ones, or less, may be chance. */
export const chanceUsual = 3;

/** Samples before the onset that tell the level before, at most. */
const beforeSamples = 32;

/** Samples by which an onset may lie before the block that saw it. */
const onsetSlack = (length: number): number => Math.min(length + 2, 12);

/** Samples back from the last one that an onset is sought and measured in, at most. */
export const onsetReach = Math.max(
  ...blockShapes.map(({ length, before }) => length + onsetSlack(length) + Math.max(before, beforeSamples)),
);

/** The last sample before the change, as counted since the restart. */
export function estimateOnset(tests: BlockTestsState, history: HistoryState, shape: number): number {
  const { length, before } = blockShapes[shape]!;
  const n = history.count;
  const { scatter } = tests.lengths[shape]!;
  const earliest = Math.max(2, n - length - onsetSlack(length));
  const difference = new Float64Array(tests.dimension);
  return likeliest(earliest, n - 1, n - length, (split) => {
    const start = Math.max(0, split - before, n - ringSize + 1);
    const after = n - split;
    for (let j = 0; j < tests.dimension; j++) {
      difference[j] = blockMean(history, split, n, j) - blockMean(history, start, split, j);
    }
    return distance(scatter, difference, tests.first) * ((after * (split - start)) / (n - start));
  });
}

/** The split from `first` to `last` of the greatest gain in likelihood, the earliest of equals; `otherwise` where none gains. */
function likeliest(first: number, last: number, otherwise: number, gainOf: (split: number) => number): number {
  let best = otherwise;
  let bestGain = -1;
  for (let split = first; split <= last; split++) {
    const gain = gainOf(split);
    if (gain > bestGain) {
      bestGain = gain;
      best = split;
    }
  }
  return best;
}

/** An onset is put right when it was early by so many samples at least; fewer may hold a part of the step already. */
const leastCorrection = 3;

/**
 * The last sample before the change as it looks once more of it has been seen, counted since the restart at its onset; 0
 * where that stands. `before`: the level before the restart, worth `beforeCount` samples; `known`: samples since the restart
 * by which the change was told, and so had begun. Of maximum likelihood, too.
 */
export function laterOnset(
  tests: BlockTestsState,
  history: HistoryState,
  before: readonly number[],
  beforeCount: number,
  known: number,
): number {
  const n = history.count;
  const worth = Math.max(1, Math.min(beforeCount, beforeSamples));
  const { scatter } = tests.lengths[shortReference]!;
  const difference = new Float64Array(tests.dimension);
  const best = likeliest(0, Math.min(n - 2, known - 1), 0, (split) => {
    for (let j = 0; j < tests.dimension; j++) {
      const still = split > 0 ? split * blockMean(history, 0, split, j) : 0;
      difference[j] = blockMean(history, split, n, j) - (worth * before[j]! + still) / (worth + split);
    }
    return distance(scatter, difference, tests.first) * (((n - split) * (worth + split)) / (n + worth));
  });
  return best >= leastCorrection ? best : 0;
}

export interface Measured {
  /** Per component: level before, on the scale of `history.raw`. */
  readonly before: number[];
  /** Per component: level after minus level before. */
  readonly shift: number[];
  /** Per strain channel. */
  readonly delta: number[];
  readonly deltaError: number[];
  readonly sigmas: number;
  /** The components that are believed, their change and its inverse covariance. */
  readonly weighed: Weighed;
  /** It grew all through the samples after the onset. */
  readonly ramp: boolean;
  readonly temperatureK: number;
  /** Standard deviation of such a difference of temperature as a rule. */
  readonly usualK: number;
  readonly rosettes: RosetteChange[];
  readonly soloChannel: number;
  readonly soloEvidence: number;
}

/** The level before sample `split` + 1. */
export function levelBefore(history: HistoryState, split: number): number[] {
  const start = Math.max(0, split - beforeSamples, history.count - ringSize + 1);
  return Array.from({ length: history.dimension }, (_, j) => (split > start ? blockMean(history, start, split, j) : 0));
}

/**
 * The change from `before` (worth `beforeCount` samples) to the samples split + 1 ... n. `offset`: what is to be added
 * to the raw history's value to get the strain itself. `present[c]` is false for channels not to be believed. `sampleS`: seconds a sample; `latest`:
 * so many of the last samples tell the level after; all since the split where not given.
 */
export function measureChange(
  frame: CellFrame,
  tests: BlockTestsState,
  history: HistoryState,
  split: number,
  before: number[],
  beforeCount: number,
  offset: Float64Array,
  present: readonly boolean[],
  sampleS: number,
  latest = history.count - split,
): Measured {
  const { first, channels } = frame;
  const levels = before.map((_, j) => levelAfter(history, history.count - latest, j));
  const raw = levels.map((level, j) => level - before[j]!);
  const worth = Math.max(1, Math.min(beforeCount, beforeSamples));
  const shares = 1 / latest + 1 / worth;
  const afterShare = 1 / (latest * shares);
  // The temperature would have gone on rising while a plate warms up: that explains no change, and is no part of it.
  const apart = history.count - split - (latest - worth) / 2;
  const shape = testOf(latest);
  const { scatter } = tests.lengths[shape]!;
  /** From the differences of that test to the one at hand, as variances go. */
  const scale = shares / blockPlans[shape]!.variance;
  const usualK = first ? Math.sqrt(scale * scatter.blended[0]!) : NaN;
  const trendK = first ? scatter.slope[0]! * apart : NaN;
  const temperatureK = first ? raw[0]! - (Math.abs(trendK) > chanceUsual * usualK ? trendK : 0) : NaN;
  const { covariance, regression, noiseK } = conditional(tests, scatter.blended, scale, temperatureK, usualK);
  const m = channels.length;
  const delta = channels.map((_, c) => raw[first + c]! - (first ? regression[c]! * noiseK : 0));
  const there = channels.map((_, c) => c).filter((c) => present[c]);
  const precision = inverse(
    there.flatMap((i) => there.map((k) => covariance[i * m + k]!)),
    there.length,
  );
  const believed = there.map((c) => delta[c]!);
  const pulled = there.map((_, i) => believed.reduce((sum, v, k) => sum + precision[i * there.length + k]! * v, 0));
  const squared = pulled.reduce((sum, v, i) => sum + v * believed[i]!, 0);
  const solo = soloVerdict(
    believed,
    precision,
    there.map((c) => frame.design[c]!),
  );
  const absolute = channels.map((_, c) => levels[first + c]! + offset[first + c]!);
  return {
    before,
    shift: raw,
    delta: delta.map((v, c) => (present[c] ? v : NaN)),
    deltaError: delta.map((_, c) => Math.sqrt(covariance[c * m + c]!)),
    weighed: { components: there.map((c) => first + c), change: believed, precision },
    sigmas: Math.sqrt(Math.max(0, squared)),
    ramp:
      (history.count - split) * sampleS >= liftS &&
      grew(
        history,
        split,
        before,
        there.map((c) => first + c),
        pulled,
      ),
    temperatureK,
    usualK,
    rosettes: frame.rosettes.map((r) => rosetteChange(r, delta, present, absolute, covariance, m, afterShare)),
    soloChannel: solo.channel < 0 ? -1 : channels[there[solo.channel]!]!,
    soloEvidence: solo.evidence,
  };
}

/** Fewest samples from which a ramp can be told from a jump; they take `liftS` at least. */
const rampSamples = 12;

/**
 * Whether the change grew rather than jumped: of a jump at the onset and a steady growth from some sample on, which fits
 * the samples better, by the sum of squares of the change as weighed by its precision.
 */
function grew(
  history: HistoryState,
  split: number,
  before: readonly number[],
  components: readonly number[],
  weights: readonly number[],
): boolean {
  const n = history.count;
  if (n - split < rampSamples || n - split >= ringSize) return false;
  const from = Math.max(1, split - beforeSamples, n - ringSize + 2);
  const series: number[] = [];
  for (let i = from; i <= n; i++) {
    const at = slot(i) * history.dimension;
    series.push(components.reduce((sum, j, c) => sum + weights[c]! * (history.raw[at + j]! - before[j]!), 0));
  }
  const whole = series.reduce((sum, y) => sum + y * y, 0);
  const jumped = series.slice(split + 1 - from);
  const explained = jumped.reduce((sum, y) => sum + y, 0) ** 2 / jumped.length;
  let grown = 0;
  for (let start = 0; start < split + 1 - from + jumped.length / 2; start++) {
    let [along, length] = [0, 0];
    for (let i = start + 1; i < series.length; i++) {
      along += (i - start) * series[i]!;
      length += (i - start) ** 2;
    }
    if (along > 0) grown = Math.max(grown, along ** 2 / length);
  }
  return whole > 0 && grown > explained;
}

function levelAfter(history: HistoryState, split: number, j: number): number {
  const from = Math.max(split + 1, history.count - ringSize + 2);
  const values: number[] = [];
  for (let i = from; i <= history.count; i++) values.push(history.raw[slot(i) * history.dimension + j]!);
  return trimmedMean(values);
}

/** The longest test, of all but the shortest, with a block of `after` samples at most. */
function testOf(after: number): number {
  let shape = 1;
  while (shape + 1 < blockShapes.length && blockShapes[shape + 1]!.length <= after) shape++;
  return shape;
}

/**
 * Covariance of the strain channels' change given the temperature's, and the regression on it. What is learned of that is
 * mostly noise of the thermometer, which taking temperature out put into all channels: `noiseK` is so much of the change of
 * temperature as may be noise. A larger change is real, and was taken out already; how much noise is in it is not known.
 * `learned`: lower triangle of the covariance of a test's differences, `scale` from these to the one at hand.
 */
function conditional(
  { dimension, first }: BlockTestsState,
  learned: Float64Array,
  scale: number,
  temperatureK: number,
  usualK: number,
): { covariance: number[]; regression: number[]; noiseK: number } {
  const entry = (i: number, j: number): number => learned[Math.max(i, j) * dimension + Math.min(i, j)]!;
  const m = dimension - first;
  const own = first ? entry(0, 0) : 1;
  const regression = Array.from({ length: m }, (_, c) => (first ? entry(first + c, 0) / own : 0));
  const most = chanceUsual * usualK;
  const isReal = Math.abs(temperatureK) > most;
  const noiseK = isReal ? 0 : temperatureK;
  const covariance: number[] = [];
  for (let i = 0; i < m; i++) {
    for (let k = 0; k < m; k++) {
      const shared = first && !isReal ? regression[i]! * regression[k]! * own : 0;
      covariance.push(scale * (entry(first + i, first + k) - shared));
    }
  }
  return { covariance, regression, noiseK };
}
