// Rows of a simulated build as text. A reading is a whole number of its last decimal, so the text is exact and reading it
// back gives count / 10^decimals to the last bit.
import { phaseNames } from './buildClock.ts';
import type { SimulatedColumn } from './columns.ts';
import type { CountBlock } from './simulatedBuild.ts';

export interface TableStyle {
  readonly delimiter: string;
  readonly decimal: string;
  readonly newline: string;
  /** Text of the time column; seconds where left out. */
  readonly timeText?: (timeS: number) => string;
}

export const plainStyle: TableStyle = { delimiter: ',', decimal: '.', newline: '\n' };

export function rowsText(block: CountBlock, columns: readonly SimulatedColumn[], style: TableStyle): string {
  const rows: string[] = [];
  const fields = new Array<string>(columns.length);
  for (let row = 0; row < block.rows; row++) {
    for (let i = 0; i < columns.length; i++) fields[i] = fieldText(columns[i]!, block.counts[i]![row]!, style);
    rows.push(fields.join(style.delimiter), style.newline);
  }
  return rows.join('');
}

function fieldText({ role, decimals }: SimulatedColumn, count: number, style: TableStyle): string {
  if (Number.isNaN(count)) return '';
  if (role === 'phase') return phaseNames[count]!;
  if (role === 'time' && style.timeText) return style.timeText(count / 10 ** decimals);
  const text = decimalText(count, decimals);
  return style.decimal === '.' ? text : text.replace('.', style.decimal);
}

/** count / 10^decimals with all its decimals. */
function decimalText(count: number, decimals: number): string {
  if (decimals === 0) return String(count + 0);
  const digits = String(Math.abs(count)).padStart(decimals + 1, '0');
  return `${count < 0 ? '-' : ''}${digits.slice(0, -decimals)}.${digits.slice(-decimals)}`;
}
