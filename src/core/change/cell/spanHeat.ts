// Hands the rows of a span to the watch over the cell's temperature.
import { instantOf } from './cellColumns.ts';
import type { CellColumns } from './cellColumns.ts';
import type { CellDetectorState } from './cellDetectorState.ts';
import { overdueFrom, rowsUntilKnown } from '../cycle/cycle.ts';
import { watchHeat } from '../readings/heatWatch.ts';
import type { HeatRows, Whereabouts } from '../readings/heatWatch.ts';
import type { Span } from './span.ts';

export class SpanHeat {
  readonly #cell: number;
  readonly #state: CellDetectorState;
  readonly #rows: HeatRows;
  readonly #stand: Whereabouts = { at: (row) => instantOf(this.#columns!, row) };
  #columns: CellColumns | undefined;

  constructor(cell: number, state: CellDetectorState, { kelvin, intervalS, visits }: Span) {
    this.#cell = cell;
    this.#state = state;
    this.#rows = {
      rows: 0,
      kelvin,
      intervalS,
      visits,
      placed: false,
      samples: 0,
      // Broken numbers make fields for such.
      usualSamples: 0.5,
      overdueFrom: 0.5,
      knownFrom: 0,
    };
  }

  /** Takes `count` rows from `i` on; the cycle has gone on by them. */
  take(columns: CellColumns, i: number, count: number, placed: boolean): void {
    const { cycle, heat, findings } = this.#state;
    const rows = this.#rows;
    this.#columns = columns;
    rows.rows = count;
    rows.placed = placed;
    rows.samples = cycle.samples - count + 1;
    rows.usualSamples = cycle.usualSamples;
    rows.overdueFrom = overdueFrom(cycle);
    rows.knownFrom = placed ? rowsUntilKnown(cycle, count - 1) : 0;
    watchHeat(heat, this.#cell, rows, this.#stand, i, findings);
  }
}
