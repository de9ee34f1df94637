// Lets rows through in the order of time and takes out those that are not: the sequential stage behind the scanner.
// In: blocks in file order. Out: the same blocks, compacted in place, `firstRow` set, ISO time made relative to the
// first row. The rules stand in rowProblems.ts. Only the time column is touched unless a row is taken out.
//
// A few wrong stamps far in the future must not cost all rows that follow them. So a row more than a minute ahead of the
// last one, and the first of all, is on trial with those behind it until four of these go on from it in order, or the log
// ends. A row that lies before a leap among them, and behind what came before that leap, speaks against all beyond the leap:
// they are skipped, and it takes their place. Rows that say nothing, being repeated or no later than those they belong to,
// are skipped meanwhile. All this rests on the rows at hand alone, so that rows read again pass as they did before.
import { wholeLine, type Problem } from '../problem.ts';
import { ProblemFold, rowProblem, type ProblemFoldState, type RowProblemCode } from './rowProblems.ts';
import { copyOf, moveRow, takeRow, unshiftRows } from './heldRow.ts';
import type { HeldRow } from './heldRow.ts';
import { mostHeldRows } from './rowBlock.ts';
import type { RowBlock } from './rowBlock.ts';

/** A step forward in time beyond this needs to be confirmed by the rows behind it, seconds. */
const holdBackS = 60;
/** A step of more than this many mean steps, and longer than a second, is told as a leap once the mean is known. */
const leapSteps = 20;
const shortestLeapS = 1;
const stepsBeforeLeaps = 16;

export interface RowGateOptions {
  readonly timeColumn: number;
  /** -1 or left out where the log has no layers. */
  readonly layerColumn?: number;
  /** The time column holds seconds since 1970; it is made relative to the first row (rounded to the microsecond). */
  readonly absoluteTime?: boolean;
  /** What a reading of the time column is multiplied by to give seconds; 1 where left out. */
  readonly timeScale?: number;
}

/** Plain data; enough to go on after the last row let through. */
export interface RowGateState {
  accepted: number;
  /** Seconds since 1970 of time zero; NaN before the first row, 0 where time is not absolute. */
  originS: number;
  lastTimeS: number;
  lastLayer: number;
  /** Steps in time seen, and their running mean in seconds. */
  steps: number;
  meanStepS: number;
  /** In order of time; at most `mostHeldRows`. */
  held: HeldRow[];
  problems: ProblemFoldState;
}

export class RowGate {
  readonly #timeColumn: number;
  readonly #layerColumn: number;
  readonly #scale: number;
  readonly #absolute: boolean;
  readonly #fold = new ProblemFold();
  #accepted = 0;
  #originS = NaN;
  #lastTimeS = -Infinity;
  #lastLayer = -Infinity;
  #steps = 0;
  #meanStepS = 0;
  #held: HeldRow[] = [];
  /** The next row is known to be let through. */
  #isNextKnown = false;

  constructor(options: RowGateOptions) {
    this.#timeColumn = options.timeColumn;
    this.#layerColumn = options.layerColumn ?? -1;
    this.#scale = options.timeScale ?? 1;
    this.#absolute = options.absoluteTime ?? false;
    if (!this.#absolute) this.#originS = 0;
  }

  /** At most 101 for each code, ordered by line. */
  get problems(): Problem[] {
    return this.#fold.problems();
  }

  /** Rows let through so far. */
  get accepted(): number {
    return this.#accepted;
  }

  /** Seconds since 1970 of time zero; 0 where time is not absolute, NaN before the first row. */
  get originS(): number {
    return this.#originS;
  }

  /** Takes out of `block` what the rules forbid. The block's arrays need room for `mostHeldRows` more than it has. */
  accept(block: RowBlock): void {
    const trial = this.#held.map((_, place) => place);
    if (block.rows > 0) {
      unshiftRows(block, this.#held);
      let kept = 0;
      const time = block.columns[this.#timeColumn]!;
      for (let row = trial.length; row < block.rows; row++) {
        const stamp = time[row]!;
        const timeS = (time[row] = this.#inSeconds(stamp));
        const ahead = timeS - this.#lastTimeS;
        if (trial.length === 0 && ahead > 0 && (ahead <= holdBackS || this.#isNextKnown))
          this.#keep(block, row, kept++);
        else if (this.#joins(block, row, trial, stamp)) kept = this.#release(block, trial, kept);
      }
      this.#held = trial.map((place) => takeRow(block, place));
      block.rows = kept;
    }
    block.firstRow = this.#accepted;
    this.#accepted += block.rows;
  }

  /** At the end of the log: puts the rows still held back, at most `mostHeldRows`, into `block` as its only ones. */
  finish(block: RowBlock): void {
    block.rows = 0;
    block.firstRow = this.#accepted;
    unshiftRows(block, this.#held);
    this.#held = [];
    for (let row = 0; row < block.rows; row++) this.#keep(block, row, row);
    this.#accepted += block.rows;
  }

  /** Goes on as if row `row`, the next one to come, were known to be let through: for reading rows again. */
  resumeAt(row: number, originS: number): void {
    this.#accepted = row;
    this.#originS = originS;
    this.#lastTimeS = -Infinity;
    this.#lastLayer = -Infinity;
    this.#steps = 0;
    this.#held = [];
    this.#isNextKnown = true;
  }

  save(): RowGateState {
    return {
      accepted: this.#accepted,
      originS: this.#originS,
      lastTimeS: this.#lastTimeS,
      lastLayer: this.#lastLayer,
      steps: this.#steps,
      meanStepS: this.#meanStepS,
      held: this.#held.map(copyOf),
      problems: this.#fold.save(),
    };
  }

  restore(state: RowGateState): void {
    this.#accepted = state.accepted;
    this.#originS = state.originS;
    this.#lastTimeS = state.lastTimeS;
    this.#lastLayer = state.lastLayer;
    this.#steps = state.steps;
    this.#meanStepS = state.meanStepS;
    this.#held = state.held.map(copyOf);
    this.#isNextKnown = false;
    this.#fold.restore(state.problems);
  }

  #inSeconds(time: number): number {
    if (!this.#absolute) return time * this.#scale;
    if (Number.isNaN(this.#originS)) this.#originS = time;
    return Math.round((time - this.#originS) * 1e6) / 1e6;
  }

  /**
   * Puts a row on trial, its time in seconds, read as `stamp`; `trial` are the places in the block of those that are, in
   * order of time.
   * False where it is refused.
   */
  #joins(block: RowBlock, row: number, trial: number[], stamp: number): boolean {
    const time = block.columns[this.#timeColumn]!;
    const timeS = time[row]!;
    const beyond = trial.findIndex((place) => !(time[place]! < timeS));
    const before = beyond > 0 ? time[trial[beyond - 1]!]! : this.#lastTimeS;
    if (!(timeS > before)) {
      this.#refuse(timeS, before, block.lines[row]!);
      return false;
    }
    if (beyond >= 0) {
      const leapS = time[trial[beyond]!]! - (before === -Infinity ? timeS : before);
      if (leapS <= holdBackS || time[trial[beyond]!] === timeS) {
        this.#refuse(timeS, lastBeforeLeap(time, trial, beyond, timeS), block.lines[row]!);
        return false;
      }
      for (const place of trial.splice(beyond)) this.#tellGlitch(time[place]!, block.lines[place]!);
      // Time zero is the first row's that is let through.
      if (this.#absolute && before === -Infinity) {
        this.#originS = stamp;
        time[row] = 0;
      }
    }
    trial.push(row);
    return true;
  }

  /** Lets through what is on trial no more; answers with the rows kept in the block by now. */
  #release(block: RowBlock, trial: number[], kept: number): number {
    const time = block.columns[this.#timeColumn]!;
    while (trial.length > 0) {
      const leaps = time[trial[0]!]! - this.#lastTimeS > holdBackS;
      if (leaps && trial.length <= mostHeldRows) break;
      this.#keep(block, trial.shift()!, kept++);
    }
    return kept;
  }

  #keep(block: RowBlock, from: number, to: number): void {
    if (from !== to) moveRow(block, from, to);
    const timeS = block.columns[this.#timeColumn]![to]!;
    this.#watchStep(timeS - this.#lastTimeS, block.lines[to]!);
    this.#lastTimeS = timeS;
    this.#isNextKnown = false;
    if (this.#layerColumn < 0) return;
    const layer = block.columns[this.#layerColumn]![to]!;
    if (layer < this.#lastLayer) this.#tellLayerBack(layer, block.lines[to]!);
    if (!Number.isNaN(layer)) this.#lastLayer = layer;
  }

  #watchStep(stepS: number, line: number): void {
    if (stepS === Infinity) return;
    if (this.#steps >= stepsBeforeLeaps && stepS > leapSteps * this.#meanStepS && stepS > shortestLeapS) {
      this.#tell(
        'time-leap',
        line,
        () => `Time leaps forward by ${seconds(stepS)} here; the row is kept. Nothing is known of the gap.`,
      );
      return;
    }
    this.#steps++;
    const weight = Math.max(1 / this.#steps, 1 / 64);
    this.#meanStepS += weight * (stepS - this.#meanStepS);
  }

  /** `lastS`: the time that the row should have passed. */
  #refuse(timeS: number, lastS: number, line: number): void {
    if (Number.isNaN(timeS)) {
      this.#tell('missing-time', line, () => 'The row has no time and is skipped. Give every row its time.');
    } else if (timeS === lastS) {
      this.#tell(
        'repeated-time',
        line,
        () =>
          `The row repeats the time ${seconds(timeS)} of the row before and is skipped. Write the time with more decimals, or remove the repeated row.`,
      );
    } else {
      const backS = lastS - timeS;
      this.#tell(
        'time-back',
        line,
        () =>
          `Time goes back by ${seconds(backS)} here; rows are skipped until it has passed ${seconds(lastS)}. If the clock was set back or the file holds two runs, split it here.`,
      );
    }
  }

  #tellGlitch(timeS: number, line: number): void {
    this.#tell(
      'time-glitch',
      line,
      () =>
        `The time ${seconds(timeS)} is far ahead of the rows before and behind it; the row is skipped. Correct the time of this row.`,
    );
  }

  #tellLayerBack(layer: number, line: number): void {
    const last = this.#lastLayer;
    this.#tell(
      'layer-back',
      line,
      () => `Layer ${layer} follows layer ${last}; the row is kept. Check the layer column here.`,
    );
  }

  #tell(code: RowProblemCode, line: number, message: () => string): void {
    if (this.#fold.isFull(code)) this.#fold.count(code);
    else this.#fold.add(rowProblem(code, wholeLine(line), message()));
  }
}

function seconds(value: number): string {
  return `${Number(value.toPrecision(12))} s`;
}

/** The time that `timeS`, no later than the row on trial at `from`, must pass: of the last before a leap, or its own. */
function lastBeforeLeap(time: Float64Array, trial: readonly number[], from: number, timeS: number): number {
  let last = time[trial[from]!]!;
  for (let at = from + 1; last !== timeS && at < trial.length && time[trial[at]!]! - last <= holdBackS; at++) {
    last = time[trial[at]!]!;
  }
  return last;
}
