// What comes slowly is seen in means of rows: of so many that the longest block of them takes some minutes at any sampling
// rate. A mean is a difference of the history's running sums, cycle taken off and wild rows held, so that rows cost next to
// nothing. Here is what the means remember; `slowWatch.ts` looks at them.
import { forgetRecent, newBlockTests } from '../blocks/blockTests.ts';
import type { BlockTestsState } from '../blocks/blockTests.ts';
import { ChangeWatch } from '../confirm/changeWatch.ts';
import type { ChangeWatchState } from '../confirm/changeWatch.ts';
import { newHistory, restartAt, slot } from '../history.ts';
import type { HistoryState } from '../history.ts';

export interface SlowState {
  /** Rows in one mean, a power of two. */
  readonly rows: number;
  /** Rows summed at once: a mean consists of one part or more. */
  readonly part: number;
  /** Sample of the cell's history at which the part under way began; parts of the mean that are done. */
  begun: number;
  parts: number;
  /** Sums over those parts, of the signal and of what the cycle took off; by component. */
  readonly sum: Float64Array;
  readonly taken: Float64Array;
  /** Where the scale of the means begins, on that of the cell's history; by component. */
  readonly base: Float64Array;
  readonly history: HistoryState;
  readonly tests: BlockTestsState;
  watch: ChangeWatchState;
}

/** Seconds that a mean takes at most: its longest block takes two minutes then, as a support takes that gives way slowly. */
const longestMeanS = 2;
/** An interval is not known better than this: 1.02 s is one second. */
const slack = 1.05;
/** Rows summed at once at most: the history's rings reach further back. */
const longestPart = 128;
/**
 * Serial numbers of slow changes begin here, more by the samples seen: no cell tells so many others, nor more than it has
 * samples, so none comes twice.
 */
const firstSerial = 2 ** 40;

/** Rows in one mean at this interval; 1 where the rows' own tests are long enough. */
export function rowsPerMean(intervalS: number): number {
  return intervalS > 0 && intervalS < longestMeanS ? 2 ** Math.floor(Math.log2((slack * longestMeanS) / intervalS)) : 1;
}

/**
 * `noise`: of one row, per component; `first`: first component tested; `count`: samples of the cell's history; `samples`: of
 * the log so far. Undefined where rows come so seldom that their own tests are long enough.
 */
export function newSlow(
  intervalS: number,
  noise: Float64Array,
  first: number,
  count: number,
  samples: number,
): SlowState | undefined {
  const rows = rowsPerMean(intervalS);
  if (rows < 2) return undefined;
  const dimension = noise.length;
  return {
    rows,
    part: Math.min(rows, longestPart),
    begun: count,
    parts: 0,
    sum: new Float64Array(dimension),
    taken: new Float64Array(dimension),
    base: new Float64Array(dimension),
    history: newHistory(dimension),
    tests: newBlockTests(
      noise.map((n) => n / Math.sqrt(rows)),
      first,
    ),
    watch: ChangeWatch.newState(dimension - first, firstSerial + samples),
  };
}

/** The cell's history has been restarted: what came before is no yardstick for what follows. Leaves `watch` alone. */
export function restartSlow(slow: SlowState, count: number): void {
  restartAt(slow.history, slow.history.count + 1);
  slow.base.fill(0);
  slow.begun = count;
  slow.parts = 0;
}

/** A slow change was confirmed: what came before `sample` is no yardstick for what follows, nor is it noise. */
export function beginAfterChange({ base, history, tests }: SlowState, sample: number): void {
  const { level } = history;
  for (let j = 0; j < base.length; j++) base[j]! += level[j]!;
  restartAt(history, sample);
  for (let j = 0; j < base.length; j++) base[j]! -= level[j]!;
  forgetRecent(tests);
}

/** Takes the row that the cell's history took last; true where it ends a mean, and there is something to look at. */
export function endsMean(slow: SlowState, history: HistoryState): boolean {
  const { part } = slow;
  const { count } = history;
  if (count - slow.begun < part) return false;
  const { dimension, sums, takenSums } = history;
  const { sum, taken, parts } = slow;
  const end = slot(count) * dimension;
  const start = slot(count - part) * dimension;
  for (let j = 0; j < dimension; j++) {
    const ofPart = sums[end + j]! - sums[start + j]!;
    const takenOff = takenSums[end + j]! - takenSums[start + j]!;
    sum[j] = parts > 0 ? sum[j]! + ofPart : ofPart;
    taken[j] = parts > 0 ? taken[j]! + takenOff : takenOff;
  }
  slow.begun = count;
  slow.parts++;
  if (slow.parts * part < slow.rows) return false;
  slow.parts = 0;
  addMean(slow, history);
  return true;
}

/** Where the signal stands now, as the means count. The cell's own level is known at the end of a span of rows only. */
export function takeLevel({ history, base }: SlowState, level: Float64Array): void {
  for (let j = 0; j < base.length; j++) history.level[j] = level[j]! - base[j]!;
}

/** The mean stands where its last row does. */
function addMean({ history, rows, sum, taken, base }: SlowState, from: HistoryState): void {
  const { dimension, raw, sums, takenSums } = history;
  const share = 1 / rows;
  const before = slot(history.count) * dimension;
  const now = slot(++history.count);
  for (let j = 0, at = now * dimension; j < dimension; j++, at++) {
    const mean = sum[j]! * share - base[j]!;
    raw[at] = mean;
    sums[at] = sums[before + j]! + mean;
    takenSums[at] = takenSums[before + j]! + taken[j]! * share;
  }
  const last = slot(from.count);
  history.row[now] = from.row[last]!;
  history.line[now] = from.line[last]!;
  history.timeS[now] = from.timeS[last]!;
  history.layer[now] = from.layer[last]!;
  history.phase[now] = from.phase[last]!;
}
