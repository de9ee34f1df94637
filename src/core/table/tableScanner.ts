// From a header to what reads its table, native or foreign: any delimiter, decimal point or comma, comment mark and time
// layout. One scanner reads them all, so that all have the same rules, problems and speed.
import type { LogHeader } from '../header/logHeader.ts';
import { LineIndex } from './lineIndex.ts';
import { RowGate, type RowGateOptions } from './rowGate.ts';
import { RowScanner } from './rowScanner.ts';
import type { ScannerOptions, TableScanner } from './scanner.ts';

/** A scanner of the table's body, begun right after the row of names or at any line's start. */
export function createScanner(
  header: Pick<LogHeader, 'columns' | 'roles' | 'table'>,
  options: Pick<ScannerOptions, 'blockRows' | 'startLine' | 'startOffset' | 'onBlock' | 'onProblem'>,
): TableScanner {
  const { columns, roles, table } = header;
  return new RowScanner({ columns, roles, table, ...options });
}

/** How gate and index must be set up for a log. */
export function gateOptions(header: Pick<LogHeader, 'columns' | 'roles' | 'table'>): Required<RowGateOptions> {
  const { columns, roles, table } = header;
  const time = columns[roles.time];
  if (!time) throw new RangeError(`roles.time: got ${roles.time}, expected a column`);
  const absoluteTime = table.timeFormat !== '' || time.datatype === 'string';
  return {
    timeColumn: roles.time,
    layerColumn: roles.layer,
    absoluteTime,
    timeScale: absoluteTime ? 1 : time.toSiScale,
  };
}

export function createGate(header: Pick<LogHeader, 'columns' | 'roles' | 'table'>): RowGate {
  return new RowGate(gateOptions(header));
}

export function createIndex(header: Pick<LogHeader, 'columns' | 'roles' | 'table'>): LineIndex {
  return new LineIndex(gateOptions(header));
}
