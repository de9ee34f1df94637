// One field that the quick path of the scanner did not take: quoted, blank, with an exponent or many digits, a word, a
// time stamp, a phase. In: the bytes and where the field begins. Out: its value as RowBlock defines it, where it ends,
// and what is wrong with it, gathered until the scanner knows whether the row is kept.
import { phases, type Column, type TableForm } from '../header/logHeader.ts';
import { DecimalReader } from './decimal.ts';
import { isoSeconds } from './isoTime.ts';
import { timeReader, type TimeReader } from './timeLayout.ts';
import type { RowProblemCode } from './rowProblems.ts';

const LF = 10;
const CR = 13;
const SPACE = 32;
const TAB = 9;
const QUOTE = 34;

/** What must be known of a table to read it; a part of LogHeader. */
export interface TableHeader {
  readonly columns: readonly Pick<Column, 'name' | 'datatype' | 'unit' | 'possible'>[];
  /** Column indices, -1 where absent. */
  readonly roles: { readonly time: number; readonly layer: number; readonly phase: number };
  readonly table: Pick<TableForm, 'delimiter' | 'decimal' | 'comment' | 'timeFormat'>;
}

/** What a field is read as. */
export type FieldKind = 'number' | 'time' | 'phase' | 'text';

/** `text` columns (ECSV string and bool without a role) are kept out of the numbers without complaint. */
function fieldKinds({ columns, roles, table }: TableHeader): FieldKind[] {
  return columns.map(({ datatype }, column) => {
    if (column === roles.phase) return 'phase';
    const isText = datatype === 'string' || datatype === 'bool';
    if (column === roles.time && (isText || table.timeFormat !== '')) return 'time';
    return isText ? 'text' : 'number';
  });
}

/** Longest quoted field; a quote that is open for longer was never meant to be one. */
const longestQuotedBytes = 65_536;

/** Returned instead of a position: the bytes end inside a quoted field. */
export const incomplete = -1;
/** Returned instead of a position: the quote is never closed. */
export const unclosed = -2;

/** Something wrong with one field; positions are in the scanned bytes. */
export interface FieldTrouble {
  readonly code: RowProblemCode;
  readonly column: number;
  readonly from: number;
  readonly to: number;
}

export class FieldReader {
  /** The field's value after `read`. */
  value = NaN;
  /** Set when the record at hand needs more than storing its values: see `troubles` and `lineBreaks`. */
  dirty = false;
  /** A quote was met in any field so far. */
  sawQuote = false;
  /** Line breaks inside quoted fields of the record so far. */
  lineBreaks = 0;
  readonly troubles: FieldTrouble[] = [];
  /** Where the last unclosed quote stands. */
  quoteAt = 0;

  readonly #kinds: readonly FieldKind[];
  readonly #timeColumn: number;
  readonly #delimiter: Uint8Array;
  readonly #decimal: DecimalReader;
  readonly #readTime: TimeReader;
  readonly #nextSpecial: Int32Array;

  constructor(header: TableHeader) {
    this.#kinds = fieldKinds(header);
    this.#timeColumn = header.roles.time;
    const { delimiter, decimal, timeFormat } = header.table;
    this.#delimiter = new TextEncoder().encode(delimiter);
    this.#decimal = new DecimalReader(decimal.charCodeAt(0));
    this.#readTime = timeFormat === '' ? isoSeconds : timeReader(timeFormat);
    const count = this.#kinds.length;
    this.#nextSpecial = new Int32Array(count + 1).fill(count);
    for (let c = count - 1; c >= 0; c--) {
      this.#nextSpecial[c] = this.#kinds[c] === 'number' ? this.#nextSpecial[c + 1]! : c;
    }
  }

  /** The first column after `column` that is not read as a number; the number of columns where there is none. */
  specialAfter(column: number): number {
    return this.#nextSpecial[column + 1]!;
  }

  /** Whether the column is read as time stamps. */
  isTimeStamp(column: number): boolean {
    return this.#kinds[column] === 'time';
  }

  /** Forgets the record at hand. */
  reset(): void {
    this.dirty = false;
    this.lineBreaks = 0;
    this.troubles.length = 0;
  }

  /**
   * Reads the field at `from`; bytes[end - 1] is a line break. Returns the position of what ends the field (delimiter,
   * LF, or the CR of a CR LF), or `incomplete` or `unclosed`. `final` says that no more bytes will come.
   */
  read(bytes: Uint8Array, from: number, end: number, column: number, final: boolean): number {
    this.value = NaN;
    if (bytes[from] === QUOTE) return this.#readQuoted(bytes, from, end, column, final);
    if (this.#kinds[column] === 'number') {
      const value = this.#decimal.read(bytes, from, end);
      const at = this.#decimal.end;
      if (Math.abs(value) < Infinity && this.#isFieldEnd(bytes, at)) {
        this.value = value;
        return at;
      }
    }
    const to = this.#fieldEnd(bytes, from);
    this.#interpret(bytes, from, to, column, from, to);
    return to;
  }

  /** Passes over the field at `from`; returns as `read` does. */
  skip(bytes: Uint8Array, from: number, end: number, final: boolean): number {
    if (bytes[from] !== QUOTE) return this.#fieldEnd(bytes, from);
    const close = this.#closingQuote(bytes, from, end, final);
    return close < 0 ? close : this.#fieldEnd(bytes, close + 1);
  }

  #readQuoted(bytes: Uint8Array, from: number, end: number, column: number, final: boolean): number {
    const close = this.#closingQuote(bytes, from, end, final);
    if (close < 0) return close;
    const to = this.#fieldEnd(bytes, close + 1);
    if (to === close + 1) this.#interpret(bytes, from + 1, close, column, from, to);
    else if (this.#kinds[column] !== 'text') this.#trouble(this.#plainTrouble(column), column, from, to);
    return to;
  }

  #closingQuote(bytes: Uint8Array, from: number, end: number, final: boolean): number {
    this.sawQuote = true;
    const limit = Math.min(end, from + 1 + longestQuotedBytes);
    let breaks = 0;
    for (let p = from + 1; p < limit; p++) {
      if (bytes[p] === LF) breaks++;
      else if (bytes[p] === QUOTE) {
        if (bytes[p + 1] !== QUOTE) {
          this.lineBreaks += breaks;
          if (breaks > 0) this.dirty = true;
          return p;
        }
        p++;
      }
    }
    if (limit === end && !final) return incomplete;
    this.quoteAt = from;
    return unclosed;
  }

  #fieldEnd(bytes: Uint8Array, from: number): number {
    const first = this.#delimiter[0]!;
    for (let p = from; ; p++) {
      const byte = bytes[p]!;
      if ((byte === first || byte === LF || byte === CR) && this.#isFieldEnd(bytes, p)) return p;
      if (byte === QUOTE) this.sawQuote = true;
    }
  }

  #isFieldEnd(bytes: Uint8Array, at: number): boolean {
    const byte = bytes[at]!;
    if (byte === LF || (byte === CR && bytes[at + 1] === LF)) return true;
    return byte === this.#delimiter[0] && (this.#delimiter.length === 1 || startsWith(bytes, at, this.#delimiter));
  }

  /** NaN unless the whole of [from, to) is a number. */
  #number(bytes: Uint8Array, from: number, to: number): number {
    const value = this.#decimal.read(bytes, from, to);
    return this.#decimal.end === to ? value : NaN;
  }

  /** Text in [from, to), the whole field with its quotes in [outerFrom, outerTo). */
  #interpret(bytes: Uint8Array, from: number, to: number, column: number, outerFrom: number, outerTo: number): void {
    const kind = this.#kinds[column]!;
    if (kind === 'text') return;
    while (from < to && isBlank(bytes[from]!)) from++;
    while (to > from && isBlank(bytes[to - 1]!)) to--;
    if (from === to) return;
    const value =
      kind === 'number'
        ? this.#number(bytes, from, to)
        : kind === 'time'
          ? this.#readTime(bytes, from, to)
          : phaseIndex(bytes, from, to);
    if (Math.abs(value) < Infinity) this.value = value;
    else if (Number.isNaN(value) && isWord(bytes, from, to, 'nan')) return;
    else if (
      kind === 'number' &&
      column !== this.#timeColumn &&
      (!Number.isNaN(value) || isInfinityWord(bytes, from, to))
    )
      this.#trouble('infinite-reading', column, outerFrom, outerTo);
    else this.#trouble(this.#plainTrouble(column), column, outerFrom, outerTo);
  }

  #plainTrouble(column: number): RowProblemCode {
    const kind = this.#kinds[column];
    return column === this.#timeColumn ? 'bad-time' : kind === 'phase' ? 'unknown-phase' : 'not-a-number';
  }

  #trouble(code: RowProblemCode, column: number, from: number, to: number): void {
    this.dirty = true;
    this.troubles.push({ code, column, from, to });
  }
}

/** Whether `bytes` goes on with `text` from `at`. */
export function startsWith(bytes: Uint8Array, at: number, text: Uint8Array): boolean {
  for (let i = 0; i < text.length; i++) if (bytes[at + i] !== text[i]) return false;
  return true;
}

function isBlank(byte: number): boolean {
  return byte === SPACE || byte === TAB || byte === CR;
}

/** Compares without regard to case and a leading sign; `word` is in small letters. */
function isWord(bytes: Uint8Array, from: number, to: number, word: string): boolean {
  if (bytes[from] === 43 || bytes[from] === 45) from++;
  if (to - from !== word.length) return false;
  for (let i = 0; i < word.length; i++) {
    if ((bytes[from + i]! | 32) !== word.charCodeAt(i)) return false;
  }
  return true;
}

function isInfinityWord(bytes: Uint8Array, from: number, to: number): boolean {
  return isWord(bytes, from, to, 'inf') || isWord(bytes, from, to, 'infinity');
}

function phaseIndex(bytes: Uint8Array, from: number, to: number): number {
  for (let i = 0; i < phases.length; i++) {
    if (isWord(bytes, from, to, phases[i]!)) return i;
  }
  return NaN;
}
