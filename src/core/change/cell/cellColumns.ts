// The columns of one block of rows that a cell is watched by, and where its rows stand in the log.
import type { LogHeader } from '../../header/logHeader.ts';
import type { CellBlock } from '../../strain/cellBlock.ts';
import type { RowBlock } from '../../table/rowBlock.ts';
import type { CellFrame } from '../cellFrame.ts';
import type { Clocks } from '../cycle/cyclePlaces.ts';
import type { Instant } from '../readings/heatWatch.ts';
import { slot } from '../history.ts';
import type { HistoryState } from '../history.ts';

/** The columns of one block that a cell is watched by; readings and values by component. */
export interface CellColumns extends Clocks {
  readonly rows: RowBlock;
  readonly readings: readonly Float64Array[];
  readonly values: readonly Float64Array[];
}

/** The arrays are those of the blocks: they hold until the next block. */
export function cellColumns(header: LogHeader, frame: CellFrame, cell: CellBlock, rows: RowBlock): CellColumns {
  const { roles } = header;
  const { first, columns, temperatureColumn } = frame;
  const values = cell.rosettes.flatMap((r) => r.strain);
  const readings = columns.map((c) => rows.columns[c]!);
  if (first) {
    values.unshift(cell.temperatureChange);
    readings.unshift(rows.columns[temperatureColumn]!);
  }
  return {
    rows,
    time: rows.columns[roles.time],
    layers: rows.columns[roles.layer],
    phases: rows.columns[roles.phase],
    readings,
    values,
  };
}

/** Where row `i` of the block stands in the log. */
export function instantOf({ rows, time, layers }: CellColumns, i: number): Instant {
  const row = rows.firstRow + i;
  return { row, line: rows.lines[i]!, timeS: time ? time[i]! : row, layer: layers ? layers[i]! : NaN };
}

/** Writes where the next samples come from into the rings. */
export function noteRows(history: HistoryState, columns: CellColumns, i: number, count: number): void {
  const { rows, time, layers, phases } = columns;
  const first = history.count + 1;
  const { row } = history;
  for (let k = 0; k < count; k++) row[slot(first + k)] = rows.firstRow + i + k;
  note(history.line, first, rows.lines, i, count);
  note(history.timeS, first, time, i, count);
  note(history.layer, first, layers, i, count);
  note(history.phase, first, phases, i, count);
  if (!time) for (let k = 0; k < count; k++) history.timeS[slot(first + k)] = rows.firstRow + i + k;
}

function note(ring: Float64Array, first: number, column: Float64Array | undefined, i: number, count: number): void {
  if (column) for (let k = 0; k < count; k++) ring[slot(first + k)] = column[i + k]!;
  else for (let k = 0; k < count; k++) ring[slot(first + k)] = NaN;
}
