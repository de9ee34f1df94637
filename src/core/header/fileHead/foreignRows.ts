// What the first rows of a foreign table show of how it is written: whether its times are stamps, whether the line after
// the names holds units, and whether the row of names is one at all.
import { isoSeconds } from '../../table/isoTime.ts';
import { timeReader } from '../../table/timeLayout.ts';
import type { SeenRow } from './headerEnd.ts';
import type { TableForm } from '../logHeader.ts';
import { namesOfRow } from './namesRow.ts';

const encoder = new TextEncoder();

/** Values of one column in the first rows, the empty ones left out. */
export function firstValues(rows: readonly SeenRow[], column: number, delimiter: string): string[] {
  return rows.map(({ text }) => fieldsOf(text, delimiter)[column] ?? '').filter((value) => value !== '');
}

/** Of one row, as the row of names is read. */
export function fieldsOf(text: string, delimiter: string): string[] {
  return namesOfRow(text.replace(/\r$/, ''), delimiter).map(({ name }) => name);
}

export function isIsoStamp(value: string): boolean {
  const bytes = encoder.encode(value);
  return Number.isFinite(isoSeconds(bytes, 0, bytes.length));
}

/** `layout` must be one that `timeReader` takes. */
export function fitsLayout(value: string, layout: string): boolean {
  const bytes = encoder.encode(value);
  return Number.isFinite(timeReader(layout)(bytes, 0, bytes.length));
}

/** Three groups of digits and more, as dates and times of day have, or ISO 8601 without its signs. */
export function looksLikeStamp(value: string): boolean {
  return !isNumber(value) && (/\d\D+\d+\D+\d/.test(value) || /^\d{8}T\d{4}/i.test(value));
}

/** With either decimal sign; a missing reading counts, too. */
export function isNumber(value: string): boolean {
  return /^[+-]?(?:\d+[.,]?\d*|[.,]\d+)(?:[eE][+-]?\d+)?$/.test(value) || /^[+-]?nan$/i.test(value);
}

/** True for a row after the names that holds words but no reading and no time, as one of units does. */
export function isUnitsRow({ text }: SeenRow, { delimiter, timeFormat }: TableForm, timeColumn: number): boolean {
  const fields = fieldsOf(text, delimiter);
  const time = fields[timeColumn] ?? '';
  const isTime = /^[+-]?\d/.test(time) || looksLikeStamp(time) || (timeFormat !== '' && fitsLayout(time, timeFormat));
  // A quantity without a unit has the unit 1.
  const numbers = fields.filter(isNumber);
  return !isTime && numbers.every((value) => value === '1') && fields.some((value) => value !== '' && !isNumber(value));
}

/** Where the columns of these names stand after all; '' where nowhere near. As the remedy of a message. */
export function namesElsewhere(
  lines: readonly Pick<SeenRow, 'text' | 'line'>[],
  own: string,
  columns: readonly string[],
): string {
  const wanted = new Set(columns);
  for (const delimiter of [own, ',', ';', '\t', '|']) {
    const at = lines.findIndex(({ text }) => fieldsOf(text, delimiter).some((name) => wanted.has(name)));
    if (at < 0) continue;
    const { line } = lines[at]!;
    const skip = at > 0 ? `skip_lines: ${line - 1}` : '';
    const separated = delimiter === own ? '' : `delimiter: ${delimiter === '\t' ? 'tab' : `'${delimiter}'`}`;
    return `line ${line} has them with table: {${[skip, separated].filter((part) => part !== '').join(', ')}}`;
  }
  return '';
}
