// Lets rows through in the order of time and takes out those that are not: the sequential stage behind the scanner.
// In: blocks in file order. Out: the same blocks, compacted in place, `firstRow` set, ISO time made relative to the
// first row. The rules stand in rowProblems.ts. Only the time column is touched unless a row is taken out.
//
// One wrong stamp far in the future must not cost all rows that follow it. So a row more than a minute ahead of the last
// one is held back until a row behind it speaks for it (later still) or against it (between the two: the held row is
// skipped). Rows that say nothing, being repeated or no later than the last row kept, are skipped meanwhile.
import { wholeLine, type Problem } from '../problem.ts';
import { ProblemFold, rowProblem, type ProblemFoldState, type RowProblemCode } from './rowProblems.ts';
import type { RowBlock } from './rowBlock.ts';

/** A step forward in time beyond this needs the next row's confirmation, seconds. */
export const holdBackS = 60;
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

interface HeldRow {
  values: number[];
  line: number;
  offset: number;
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
  held: HeldRow | undefined;
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
  #held: HeldRow | undefined;

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

  /** Takes out of `block` what the rules forbid. The block's arrays need room for one row more than it has. */
  accept(block: RowBlock): void {
    if (block.rows === 0) {
      block.firstRow = this.#accepted;
      return;
    }
    const time = block.columns[this.#timeColumn]!;
    this.#toSeconds(time, block.rows);
    let held = -1;
    if (this.#held) {
      unshiftRow(block, this.#held);
      this.#held = undefined;
      held = 0;
    }
    let kept = 0;
    for (let row = held + 1; row < block.rows; row++) {
      const timeS = time[row]!;
      const repeatsHeld = held >= 0 && timeS === time[held];
      if (!(timeS > this.#lastTimeS) || repeatsHeld) {
        this.#refuse(timeS, repeatsHeld, block.lines[row]!);
        continue;
      }
      if (held >= 0) {
        if (timeS < time[held]!) this.#tellGlitch(time[held]!, block.lines[held]!);
        else this.#keep(block, held, kept++);
        held = -1;
      }
      if (timeS - this.#lastTimeS > holdBackS && this.#lastTimeS !== -Infinity) held = row;
      else this.#keep(block, row, kept++);
    }
    if (held >= 0) this.#held = takeRow(block, held);
    block.rows = kept;
    block.firstRow = this.#accepted;
    this.#accepted += kept;
  }

  /** At the end of the log: puts the row still held back, if there is one, into `block` as its only row. */
  finish(block: RowBlock): void {
    block.rows = 0;
    block.firstRow = this.#accepted;
    if (!this.#held) return;
    unshiftRow(block, this.#held);
    this.#held = undefined;
    this.#keep(block, 0, 0);
    this.#accepted++;
  }

  /** Goes on as if row `row`, the next one to come, were known to be let through: for reading rows again. */
  resumeAt(row: number, originS: number): void {
    this.#accepted = row;
    this.#originS = originS;
    this.#lastTimeS = -Infinity;
    this.#lastLayer = -Infinity;
    this.#steps = 0;
    this.#held = undefined;
  }

  save(): RowGateState {
    return {
      accepted: this.#accepted,
      originS: this.#originS,
      lastTimeS: this.#lastTimeS,
      lastLayer: this.#lastLayer,
      steps: this.#steps,
      meanStepS: this.#meanStepS,
      held: this.#held && { ...this.#held, values: [...this.#held.values] },
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
    this.#held = state.held && { ...state.held, values: [...state.held.values] };
    this.#fold.restore(state.problems);
  }

  #toSeconds(time: Float64Array, rows: number): void {
    if (this.#absolute) {
      for (let row = 0; row < rows; row++) {
        if (Number.isNaN(this.#originS)) this.#originS = time[row]!;
        time[row] = Math.round((time[row]! - this.#originS) * 1e6) / 1e6;
      }
    } else if (this.#scale !== 1) {
      for (let row = 0; row < rows; row++) time[row] = time[row]! * this.#scale;
    }
  }

  #keep(block: RowBlock, from: number, to: number): void {
    if (from !== to) moveRow(block, from, to);
    const timeS = block.columns[this.#timeColumn]![to]!;
    this.#watchStep(timeS - this.#lastTimeS, block.lines[to]!);
    this.#lastTimeS = timeS;
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

  #refuse(timeS: number, repeatsHeld: boolean, line: number): void {
    if (Number.isNaN(timeS)) {
      this.#tell('missing-time', line, () => 'The row has no time and is skipped. Give every row its time.');
    } else if (repeatsHeld || timeS === this.#lastTimeS) {
      this.#tell(
        'repeated-time',
        line,
        () =>
          `The row repeats the time ${seconds(timeS)} of the row before and is skipped. Write the time with more decimals, or remove the repeated row.`,
      );
    } else {
      const backS = this.#lastTimeS - timeS;
      this.#tell(
        'time-back',
        line,
        () =>
          `Time goes back by ${seconds(backS)} here; rows are skipped until it has passed ${seconds(this.#lastTimeS)}. If the clock was set back or the file holds two runs, split it here.`,
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

function moveRow(block: RowBlock, from: number, to: number): void {
  for (const column of block.columns) column[to] = column[from]!;
  block.lines[to] = block.lines[from]!;
  block.offsets[to] = block.offsets[from]!;
}

function takeRow(block: RowBlock, row: number): HeldRow {
  return {
    values: block.columns.map((column) => column[row]!),
    line: block.lines[row]!,
    offset: block.offsets[row]!,
  };
}

function unshiftRow(block: RowBlock, held: HeldRow): void {
  if (block.lines.length <= block.rows)
    throw new RangeError(`block: got room for ${block.lines.length} rows, expected one more`);
  block.columns.forEach((column, c) => {
    column.copyWithin(1, 0, block.rows);
    column[0] = held.values[c]!;
  });
  block.lines.copyWithin(1, 0, block.rows);
  block.offsets.copyWithin(1, 0, block.rows);
  block.lines[0] = held.line;
  block.offsets[0] = held.offset;
  block.rows++;
}
