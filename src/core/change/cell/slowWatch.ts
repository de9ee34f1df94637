// The watch over what comes slowly: the tests of rows once more, on means of rows. Only lengths that those do not reach
// speak, and only long ones: a mean in which noise wanders is no sample of white noise.
import { lookAll } from '../blocks/blockLooks.ts';
import type { LookTools } from '../blocks/blockLooks.ts';
import { blockShapes, firstLong } from '../noise/blockShapes.ts';
import { noteLacking, raiseFloor, unlearn } from '../blocks/blockTests.ts';
import type { Look } from '../blocks/blockTests.ts';
import type { CellDetectorState } from './cellDetectorState.ts';
import type { CellFrame } from '../cellFrame.ts';
import type { ChangeWatch, ChangeWatchState } from '../confirm/changeWatch.ts';
import type { Sight } from '../confirm/sight.ts';
import { beginAfterChange, endsMean, newSlow, restartSlow, takeLevel } from './slowMeans.ts';
import type { SlowState } from './slowMeans.ts';
import type { StatisticWatch } from './watchedStatistic.ts';

/** Samples after which the pace is known well. */
const paceSamples = 64;
/** After so many means the rounding of the readings is asked for again. */
const roundingMeans = 64;
const longest = Math.max(...blockShapes.map(({ length }) => length));

export class SlowWatch {
  readonly #frame: CellFrame;
  readonly #state: CellDetectorState;
  readonly #changes: ChangeWatch;
  readonly #statistic: StatisticWatch;
  /** The least noise of one row per component. */
  readonly #leastNoise: Float64Array;
  readonly #best: Look = { shape: -1, surprise: 0 };
  readonly #work: Float64Array;
  #tools: LookTools | undefined;
  /** The mean that ended in the row at hand has been looked at. */
  #looked = false;

  constructor(
    frame: CellFrame,
    state: CellDetectorState,
    changes: ChangeWatch,
    statistic: StatisticWatch,
    leastNoise: Float64Array,
  ) {
    this.#frame = frame;
    this.#state = state;
    this.#changes = changes;
    this.#statistic = statistic;
    this.#leastNoise = leastNoise;
    this.#work = new Float64Array(frame.dimension + 1);
    this.#tools = this.#toolsNow();
  }

  /** Means of as many rows as the pace asks for, from now on. */
  begin(): void {
    const { pace, noise, history, samples } = this.#state;
    this.#state.slow = newSlow(pace.intervalS, noise, this.#frame.first, history.count, samples);
    this.#tools = this.#toolsNow();
  }

  /** The sample of the cell's history at which `look` is to be asked next. */
  due(): number {
    const { slow, history } = this.#state;
    if (slow) return slow.begun + slow.part;
    return history.count < paceSamples ? paceSamples : Infinity;
  }

  /**
   * Goes on to the row that the cell's history took last; `intervalS[k]` is the usual interval there (a number handed over
   * would be put on the heap, row by row). True where a look is worth attention, or a slow change is still to be settled.
   */
  look(place: number, intervalS: Float64Array, k: number): boolean {
    const { slow, history } = this.#state;
    if (!slow) {
      this.begin();
      return false;
    }
    return endsMean(slow, history) && this.#lookAt(slow, place, intervalS[k]!);
  }

  #lookAt({ tests, rows, watch, history }: SlowState, place: number, intervalS: number): boolean {
    const { health, tests: finer } = this.#state;
    const tools = this.#tools!;
    tools.place = place;
    tools.tell = this.#statistic.suspected(intervalS);
    if (history.count % roundingMeans === 0) {
      for (let j = 0; j < health.length; j++) raiseFloor(tests, j, this.#leastNoise[j]! / Math.sqrt(rows));
    }
    if (finer!.lacking > 0 || tests.lacking > 0) noteLacking(tests, health);
    lookAll(tests, history, tools, false);
    this.#looked = true;
    return this.#best.shape >= 0 || (watch.confirmed !== undefined && watch.confirmed.again > 0);
  }

  /** Sees to what the last look found. `sight`: as for rows. Answers with what is remembered of it, if a look was due. */
  attend(sight: Sight): ChangeWatchState | undefined {
    const { slow, history, value } = this.#state;
    // No mean ended in this row, or a change told by its rows has begun the means anew.
    if (!slow || !this.#looked) return undefined;
    this.#looked = false;
    const { watch, tests, rows } = slow;
    takeLevel(slow, history.level);
    const split = this.#changes.next(watch, tests, slow.history, value, { ...sight, look: this.#best, rows });
    if (split > 0) beginAfterChange(slow, split + 1);
    return watch;
  }

  /** The cell's history has been restarted. */
  restart(): void {
    const { slow, history } = this.#state;
    this.#looked = false;
    if (!slow) return;
    restartSlow(slow, history.count);
    this.#changes.interrupt(slow.watch);
  }

  /** What was learned of noise is a guess only. */
  unlearn(): void {
    if (this.#state.slow) unlearn(this.#state.slow.tests);
  }

  #toolsNow(): LookTools | undefined {
    const { slow, tests, cycle } = this.#state;
    if (!slow) return undefined;
    const { rows } = slow;
    const firstShape = blockShapes.findIndex(({ length }, s) => s >= firstLong && length * rows > longest);
    return { cycle, place: -1, rows, firstShape, finer: tests, tell: Infinity, best: this.#best, work: this.#work };
  }
}
