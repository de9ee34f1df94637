// What is drawn of a cell's watch, row by row: the best look's surprise, and the surprise at which the cell alone cries.
import type { LogHeader } from '../../header/logHeader.ts';
import { looksPerSample } from '../noise/blockShapes.ts';
import type { Look } from '../blocks/blockTests.ts';
import { neededSurprise } from '../noise/budget.ts';

/** Per row of the last block: the best look's surprise, and the surprise at which the cell alone cries. */
export interface WatchedStatistic {
  readonly statistic: Float64Array;
  readonly threshold: Float64Array;
}

/** Surprise from which a change, or a blow, is worth telling to the plate stage: one look in three thousand, */
const suspectSurprise = -Math.log(3e-4);
/** or, where the budget asks for little, odds of e to this below what is needed. */
const nearlyNeeded = 2;

export class StatisticWatch {
  readonly #header: LogHeader;
  #watched: WatchedStatistic | undefined;
  /** Interval for which the needed surprise was last computed, and that surprise. */
  #neededFor = NaN;
  #neededThen = NaN;

  constructor(header: LogHeader) {
    this.#header = header;
  }

  /** From now on the statistic of each row of a block is kept, in arrays that are reused. */
  begin(capacity: number): WatchedStatistic {
    this.#watched ??= { statistic: new Float64Array(capacity), threshold: new Float64Array(capacity) };
    return this.#watched;
  }

  /**
   * Keeps the statistic of `count` rows from `i` on. Only the last can have a look worth telling; a row without counts as
   * 0; where nothing is judged yet there is none.
   */
  keep(i: number, count: number, intervalS: Float64Array, judged: boolean, best: Look): void {
    if (!this.#watched) return;
    const { statistic, threshold } = this.#watched;
    for (let k = 0; k < count; k++) {
      statistic[i + k] = judged ? 0 : NaN;
      threshold[i + k] = judged ? this.needed(intervalS[k]!) : NaN;
    }
    if (judged && best.shape >= 0) statistic[i + count - 1] = best.surprise;
  }

  /** The surprise at which the cell alone cries. */
  needed(intervalS: number): number {
    if (intervalS === this.#neededFor) return this.#neededThen;
    this.#neededFor = intervalS;
    this.#neededThen = this.#neededAt(intervalS);
    return this.#neededThen;
  }

  /** The surprise from which a change is worth telling to the plate stage. */
  suspected(intervalS: number): number {
    return Math.min(suspectSurprise, this.needed(intervalS) - nearlyNeeded);
  }

  /** The surprise at which one sample of the cell alone is a blow. */
  neededOfBlow(intervalS: number): number {
    const { detection, cells } = this.#header;
    return neededSurprise(detection.falseAlarmHours, cells.length / (intervalS > 0 ? intervalS : 1), 'blows');
  }

  /** And that from which it is worth telling to the plate stage. */
  suspectedBlow(intervalS: number): number {
    return Math.min(suspectSurprise, this.neededOfBlow(intervalS) - nearlyNeeded);
  }

  #neededAt(intervalS: number): number {
    const { detection, cells } = this.#header;
    const perSecond = (cells.length * looksPerSample) / (intervalS > 0 ? intervalS : 1);
    return neededSurprise(detection.falseAlarmHours, perSecond, 'alone');
  }
}
