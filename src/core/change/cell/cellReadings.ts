// The readings of one cell, row by row or in runs: the health of each channel, which values can be believed, and the least
// noise that the resolution of the readings leaves.
import { noteLacking, raiseFloor } from '../blocks/blockTests.ts';
import type { BlockTestsState } from '../blocks/blockTests.ts';
import { instantOf } from './cellColumns.ts';
import type { CellColumns } from './cellColumns.ts';
import { leastNoise } from './cellDetectorState.ts';
import type { CellDetectorState } from './cellDetectorState.ts';
import type { CellFrame } from '../cellFrame.ts';
import { isThere, nextReading, resolved, turns } from '../readings/health.ts';
import { HealthWatch } from '../readings/healthWatch.ts';
import { newQuietRun, quietRows, takeQuiet } from '../readings/quietReadings.ts';
import type { QuietRun } from '../readings/quietReadings.ts';

/** A gap in one channel up to so many rows is bridged by the difference across it. */
const bridgedRows = 3;
/** A longer one leaves the blocks before without it. */
const longGap = 16;

export class CellReadings {
  /** Values of one row that is taken by itself, NaN for those not to be believed; one array a component. */
  readonly alone: readonly Float64Array[];
  /** The least noise of one sample per component. */
  readonly leastNoise: Float64Array;
  /** A channel was back after a long time in the row last taken by itself. */
  returned = false;
  readonly #frame: CellFrame;
  readonly #state: CellDetectorState;
  readonly #health: HealthWatch;
  /** What the rows at hand make of each component's health. */
  readonly #quiet: readonly QuietRun[];
  /** The least noise has become known, and the tests not told. */
  #isRated = true;

  constructor(frame: CellFrame, state: CellDetectorState) {
    const { dimension } = frame;
    this.#frame = frame;
    this.#state = state;
    this.#health = new HealthWatch(frame);
    this.alone = Array.from({ length: dimension }, () => new Float64Array(1));
    this.leastNoise = new Float64Array(dimension);
    this.#quiet = Array.from({ length: dimension }, newQuietRun);
    this.#rateNoise();
  }

  /** Rows from `i` on, at most `most`, in which no reading of the cell turns and at least one fibre is read. */
  quietRows({ readings, values }: CellColumns, i: number, most: number): number {
    const { health } = this.#state;
    const { first } = this.#frame;
    let count = most;
    let read = false;
    for (let j = 0; j < readings.length; j++) {
      const column = values[j]!;
      count = quietRows(health[j]!, readings[j]!, column, i, i + count, this.#quiet[j]!);
      if (count === 0) return 0;
      if (j >= first && column[i] === column[i]) read = true;
    }
    return read ? count : 0;
  }

  /** Takes the readings of `count` rows from `i` on in which nothing turns. */
  takeQuiet({ readings, values }: CellColumns, i: number, count: number): void {
    const { health } = this.#state;
    for (let j = 0; j < readings.length; j++) {
      takeQuiet(health[j]!, readings[j]!, values[j]!, i, count, this.#quiet[j]!);
    }
  }

  /**
   * Takes the readings of one row one by one; false where no fibre has one that can be believed. The values then stand in
   * `alone`.
   */
  takeOne(columns: CellColumns, i: number): boolean {
    const { readings, values } = columns;
    const { health, flat, sick, findings, pace, cycle, tests, samples } = this.#state;
    const { first, dimension } = this.#frame;
    let read = false;
    let lacking = false;
    let returned = false;
    let turned = false;
    let rated = false;
    for (let j = 0; j < dimension; j++) {
      const h = health[j]!;
      const { missing, quantum } = h;
      const wasResolved = resolved(h);
      const turn = nextReading(h, readings[j]![i]!);
      if (h.quantum !== quantum || resolved(h) !== wasResolved) rated = true;
      if (turn !== turns.none) {
        this.#health.note(sick, j - first, turn, h);
        turned = true;
      }
      const x = values[j]![i]!;
      const believed = x === x && !h.stuck && h.heldOut === 0;
      this.alone[j]![0] = believed ? x : NaN;
      if (believed && samples > 0 && (flat[j] !== flat[j] || missing > bridgedRows)) {
        // Come back after a while: where it stands now is its new level.
        cycle.level[j] = NaN;
        if (missing === 0 || missing > longGap) returned = true;
      }
      if (!isThere(h)) lacking = true;
      if (h.heldOut > 0) {
        h.heldOut--;
        flat[j] = NaN;
      }
      if (h.stuck || (believed && (turn === turns.freed || missing > bridgedRows))) flat[j] = NaN;
      if (believed && j >= first) read = true;
    }
    if (rated) this.#rateNoise();
    this.returned = returned;
    if (tests && (lacking || tests.lacking > 0)) noteLacking(tests, health);
    if (turned) {
      const { row, line, timeS, layer } = instantOf(columns, i);
      this.#health.tell(sick, findings, row, line, timeS, layer, pace.intervalS);
    }
    return read;
  }

  #rateNoise(): void {
    const { health } = this.#state;
    for (let j = 0; j < health.length; j++) this.leastNoise[j] = leastNoise(this.#frame, health, j);
    this.#isRated = true;
  }

  /** The readings' resolution has come to light: no noise is less than that of rounding. */
  raiseNoise(tests: BlockTestsState): void {
    if (!this.#isRated) return;
    for (let j = 0; j < this.leastNoise.length; j++) raiseFloor(tests, j, this.leastNoise[j]!);
    this.#isRated = false;
  }
}
