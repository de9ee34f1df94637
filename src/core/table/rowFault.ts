// Why a record that was read to its end is no row of the table, whatever stands in its fields.
import { isMergeMark } from '../mergeMark.ts';
import type { FieldTrouble } from './fieldReader.ts';
import { rowMessages } from './rowProblems.ts';
import type { RowProblemCode } from './rowProblems.ts';

export interface ReadRecord {
  /** The record is bytes[from, to), its line end included. */
  readonly bytes: Uint8Array;
  readonly from: number;
  readonly to: number;
  /** Fields it has, and fields it needs. */
  readonly count: number;
  readonly columns: number;
  /** Something in it is not plain. */
  readonly dirty: boolean;
  readonly troubles: readonly FieldTrouble[];
  readonly delimiter: string;
}

/** Undefined for a row. */
export function faultOfRow(record: ReadRecord): { code: RowProblemCode; message: string } | undefined {
  const { bytes, from, to, count, columns, dirty, troubles, delimiter } = record;
  if (count === columns && !dirty) return undefined;
  if (bytes.subarray(from, to).includes(0)) return { code: 'binary-data', message: rowMessages.binary };
  if (isMark(record)) return { code: 'merge-conflict', message: rowMessages.merge };
  // Where the fields are as many as they should be, only those that are no numbers can tell: a text may hold anything.
  const suspects = count === columns ? troubles : [{ from, to }];
  for (const sign of [';', '\t']) {
    if (sign === delimiter || !suspects.some((part) => separates(sign, bytes, part.from, part.to))) continue;
    return { code: 'other-delimiter', message: rowMessages.otherDelimiter(sign, delimiter) };
  }
  if (delimiter === ',' && hasDecimalCommas(record))
    return { code: 'decimal-comma', message: rowMessages.decimalComma };
  if (count < columns) return { code: 'short-row', message: rowMessages.short(count, columns) };
  return count > columns ? { code: 'long-row', message: rowMessages.long(count, columns) } : undefined;
}

/** Whether the record is a mark of a merge, which holds anything after its seven signs. */
function isMark({ bytes, from, to }: ReadRecord): boolean {
  const first = bytes[from];
  if (!markSigns.includes(first!) || bytes[from + 6] !== first) return false;
  return isMergeMark(new TextDecoder().decode(bytes.subarray(from, to)).replace(/\n$/, ''));
}

/** `<`, `>`, `|`, `=`. */
const markSigns: readonly number[] = [60, 62, 124, 61];

/**
 * Whether decimal commas cut the numbers in two: there are half as many fields again as there should be, or more, but no
 * more than twice as many, and no decimal point among nothing but numbers.
 */
function hasDecimalCommas({ bytes, from, to, count, columns }: ReadRecord): boolean {
  if (count < 1.5 * columns || count > 2 * columns) return false;
  for (let at = from; at < to; at++) if (!integerSigns.includes(bytes[at]!)) return false;
  return true;
}

/** Of whole numbers, their powers of ten and what stands between them. */
const integerSigns: readonly number[] = [...'0123456789+-eE, \r\n'].map((sign) => sign.charCodeAt(0));

/** Whether the sign stands between two numbers. Byte by byte: a search of `bytes` would run on past the record. */
function separates(sign: string, bytes: Uint8Array, from: number, to: number): boolean {
  const byte = sign.charCodeAt(0);
  for (let at = from + 1; at + 1 < to; at++) {
    if (bytes[at] === byte && isDigit(bytes[at - 1]) && startsNumber(bytes[at + 1])) return true;
  }
  return false;
}

function isDigit(byte = 0): boolean {
  return byte >= 48 && byte <= 57;
}

function startsNumber(byte = 0): boolean {
  return isDigit(byte) || byte === 43 || byte === 45 || byte === 46;
}
