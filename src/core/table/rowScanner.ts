// Bytes of a table's body to blocks of rows, streaming: a plain byte loop that turns ordinary decimals into doubles
// without making an object or a string for any field, and hands everything odd to a slower path. In: bytes in any
// chunks, from the start of a line. Out: reused column-major blocks, and problems with their place. The result does not
// depend on the chunking. Rules for bad rows stand in rowProblems.ts; RFC 4180 for quotes; what order rows must have in
// time is rowGate.ts's business.
import { wholeLine, type Problem, type TextRange } from '../problem.ts';
import { passOver, type BetweenRowsForm } from './betweenRows.ts';
import { noByte, readPlainRows, type Cursor, type PlainForm } from './plainRows.ts';
import { emptyBlock, mostColumns } from './rowBlock.ts';
import { FieldReader, incomplete, unclosed } from './fieldReader.ts';
import { ReadingLimits } from './readingLimits.ts';
import {
  fieldMessage,
  ProblemFold,
  rangeOf,
  rowMessages,
  rowProblem,
  shownText,
  type RowProblemCode,
} from './rowProblems.ts';
import { faultOfRow } from './rowFault.ts';
import type { ScannerOptions, TableScanner } from './scanner.ts';
import { WholeLines } from './wholeLines.ts';

const LF = 10;
const CR = 13;
const QUOTE = 34;

export class RowScanner implements TableScanner {
  readonly #options: ScannerOptions;
  readonly #fields: FieldReader;
  readonly #block: ReturnType<typeof emptyBlock>;
  readonly #fold = new ProblemFold();
  readonly #delimiter: Uint8Array;
  readonly #between: BetweenRowsForm;
  readonly #form: PlainForm;
  readonly #limits: ReadingLimits;
  readonly #cursor: Cursor = { position: 0, recordStart: 0, row: 0, column: 0, line: 0 };
  readonly #wholeLines = new WholeLines({
    read: (bytes, from, end, final) => this.#scan(bytes, from, end, final),
    tooLong: (start) => this.#tellTooLong(start),
    leaveOut: (bytes, ended) => this.#leaveOut(bytes, ended),
  });
  /** Rows of the block whose readings were held against what is possible. */
  #checked = 0;
  #sawQuote = false;
  #firstRow = 0;
  #line: number;
  /** File offset of the first byte not yet read. */
  #offset: number;
  /** File offset of byte 0 of the bytes being scanned. */
  #base = 0;
  #finished = false;

  constructor(options: ScannerOptions) {
    const count = options.columns.length;
    if (count < 1 || count > mostColumns) throw new RangeError(`columns: got ${count}, expected 1 to ${mostColumns}`);
    if (options.blockRows < 1) throw new RangeError(`blockRows: got ${options.blockRows}, expected at least 1`);
    this.#options = options;
    this.#fields = new FieldReader(options);
    this.#block = emptyBlock(count, options.blockRows);
    const { delimiter, decimal, comment } = options.table;
    this.#delimiter = new TextEncoder().encode(delimiter);
    const byte = this.#delimiter.length === 1 ? this.#delimiter[0]! : noByte;
    const mark = decimal.charCodeAt(0);
    this.#form = {
      columns: count,
      delimiter: byte,
      // Where the two are the same, only quoted fields can have a decimal part.
      point: mark === byte ? noByte : mark,
      blockRows: options.blockRows,
    };
    if (this.#delimiter.length === 0) throw new RangeError('delimiter: got nothing, expected at least one character');
    this.#limits = new ReadingLimits({
      columns: options.columns,
      delimiterBytes: this.#delimiter.length,
      fields: this.#fields,
      tell: (code, describe) => this.#tell(code, describe),
    });
    this.#between = { delimiter: this.#delimiter, comment: new TextEncoder().encode(comment) };
    this.#line = options.startLine;
    this.#offset = options.startOffset;
  }

  get position(): { line: number; offset: number } {
    return { line: this.#line, offset: this.#offset };
  }

  get unfinishedBytes(): number {
    return this.#wholeLines.unfinished.length;
  }

  get sawQuote(): boolean {
    return this.#sawQuote || this.#fields.sawQuote;
  }

  get rows(): number {
    return this.#firstRow + this.#block.rows;
  }

  push(bytes: Uint8Array): void {
    if (this.#finished) throw new Error('push after finish');
    this.#wholeLines.push(bytes);
  }

  flush(): void {
    const block = this.#block;
    if (block.rows === 0) return;
    const rows = block.rows;
    block.firstRow = this.#firstRow;
    this.#options.onBlock(block);
    this.#firstRow += rows;
    block.rows = 0;
    this.#checked = 0;
  }

  restart(line: number, offset: number): void {
    this.#wholeLines.restart();
    this.#block.rows = 0;
    this.#checked = 0;
    this.#line = line;
    this.#offset = offset;
  }

  finish(): void {
    if (this.#finished) return;
    this.#wholeLines.finish();
    this.flush();
    this.#tellUnfinished();
    for (const problem of this.#fold.tails()) this.#options.onProblem(problem);
    this.#finished = true;
  }

  foldedProblems(): readonly Problem[] {
    return this.#fold.tails();
  }

  #tellTooLong(start: Uint8Array): void {
    if (start.includes(0)) this.#tell('binary-data', () => [wholeLine(this.#line), rowMessages.binary]);
    else this.#tell('line-too-long', () => [wholeLine(this.#line), rowMessages.tooLong]);
  }

  #leaveOut(bytes: Uint8Array, ended: boolean): void {
    if (bytes.includes(QUOTE)) this.#sawQuote = true;
    this.#offset += bytes.length;
    if (ended) this.#line++;
  }

  /**
   * Reads records from bytes[from, end); bytes[end - 1] is a line break, which ends every loop below. Returns where
   * reading stopped: `end`, or the start of a record whose quote is still open.
   */
  #scan(bytes: Uint8Array, from: number, end: number, final: boolean): number {
    const cursor = this.#cursor;
    const fields = this.#fields;
    const last = this.#form.columns - 1;
    const firstStop = fields.specialAfter(-1);
    this.#base = this.#offset - from;
    Object.assign(cursor, { position: from, recordStart: from, row: this.#block.rows, column: 0, line: this.#line });
    while (cursor.position < end) {
      // A row with something to tell must not be ended by the quick loop.
      const stop = fields.specialAfter(cursor.column - 1);
      const mustStop = fields.dirty ? Math.min(stop, last) : stop;
      readPlainRows(bytes, end, this.#base, cursor, this.#block, this.#form, firstStop, mustStop);
      if (cursor.position < end && cursor.row < this.#form.blockRows && !this.#readOdd(bytes, end, final)) break;
      if (cursor.row === this.#form.blockRows) {
        this.#checkReadings(bytes, end);
        this.#handOut();
      }
    }
    this.#checkReadings(bytes, end);
    this.#block.rows = cursor.row;
    this.#line = cursor.line;
    this.#offset = this.#base + cursor.position;
    return cursor.position;
  }

  #handOut(): void {
    this.#block.rows = this.#cursor.row;
    this.flush();
    this.#cursor.row = 0;
  }

  /** Takes out, of the rows read since the last look, what cannot be a reading: their bytes are still at hand. */
  #checkReadings(bytes: Uint8Array, end: number): void {
    this.#limits.apply(this.#block, this.#checked, this.#cursor.row, { bytes, base: this.#base, end });
    this.#checked = this.#cursor.row;
  }

  /** Reads what the quick loop has left at the cursor: a line that is no row, or one field. False where a quote is open. */
  #readOdd(bytes: Uint8Array, end: number, final: boolean): boolean {
    const cursor = this.#cursor;
    if (cursor.position === cursor.recordStart) {
      const next = passOver(bytes, cursor.position, this.#base + cursor.position === 0, this.#between);
      if (next > cursor.position) {
        if (bytes.subarray(cursor.position, next).includes(QUOTE)) this.#sawQuote = true;
        if (bytes[next - 1] === LF) cursor.line++;
        cursor.position = cursor.recordStart = next;
        return true;
      }
    }
    const { column } = cursor;
    const fields = this.#fields;
    const at = fields.read(bytes, cursor.position, end, column, final);
    const { values, stride } = this.#block;
    values[column * stride + cursor.row] = fields.value;
    if (at >= 0 && bytes[at] === this.#delimiter[0] && column + 1 < this.#form.columns) {
      cursor.position = at + this.#delimiter.length;
      cursor.column++;
      return true;
    }
    return this.#endRecord(bytes, at, end, final);
  }

  /**
   * Ends a record that is not plain: `at` is where the field at the cursor ended, or what `read` returned instead. Keeps
   * or skips the row, tells its problems and moves the cursor to the next record. False where a quote is still open: the
   * cursor is then back at the start of the record.
   */
  #endRecord(bytes: Uint8Array, at: number, end: number, final: boolean): boolean {
    const cursor = this.#cursor;
    const { recordStart: start, line } = cursor;
    const fields = this.#fields;
    const { columns } = this.#form;
    let count = cursor.column + 1;
    cursor.column = 0;
    while (at >= 0 && bytes[at] !== LF) {
      if (bytes[at] !== CR || bytes[at + 1] !== LF) {
        count++;
        at = fields.skip(bytes, at + this.#delimiter.length, end, final);
      } else at++;
    }
    if (at === incomplete) {
      fields.reset();
      cursor.position = start;
      return false;
    }
    const next = (at === unclosed ? bytes.indexOf(LF, fields.quoteAt) : at) + 1;
    const record = (): TextRange => rangeOf(bytes, start, start, bytes[next - 2] === CR ? next - 2 : next - 1, line);
    if (at === unclosed) {
      const quote = fields.quoteAt;
      this.#tell('unclosed-quote', () => [rangeOf(bytes, start, quote, quote + 1, line), rowMessages.unclosedQuote]);
    } else {
      const { dirty, troubles } = fields;
      const { delimiter } = this.#options.table;
      const fault = faultOfRow({ bytes, from: start, to: next, count, columns, dirty, troubles, delimiter });
      if (fault) this.#tell(fault.code, () => [record(), fault.message]);
      else this.#keepOddRow(bytes, start);
    }
    for (let p = start; p < next; p++) if (bytes[p] === LF) cursor.line++;
    cursor.position = cursor.recordStart = next;
    fields.reset();
    return true;
  }

  #keepOddRow(bytes: Uint8Array, start: number): void {
    const { line, row } = this.#cursor;
    const { roles, columns } = this.#options;
    for (const { code, column, from, to } of this.#fields.troubles) {
      this.#tell(code, () => [
        rangeOf(bytes, start, from, to, line),
        fieldMessage(code, columns[column]!.name, shownText(bytes, from, to), !this.#fields.isTimeStamp(column)),
      ]);
    }
    // A row without its time has no place; that is told.
    if (this.#fields.troubles.some(({ column }) => column === roles.time)) return;
    const block = this.#block;
    block.lines[row] = line;
    block.offsets[row] = this.#base + start;
    this.#cursor.row++;
  }

  #tellUnfinished(): void {
    const bytes = this.#wholeLines.unfinished;
    if (bytes.length === 0) return;
    if (bytes.includes(0)) this.#tell('binary-data', () => [wholeLine(this.#line), rowMessages.binary]);
    else this.#tell('unfinished-line', () => [wholeLine(this.#line), rowMessages.unfinished(bytes.length)]);
  }

  /** The place and message are made only while they are kept: a log of nothing but problems stays quick. */
  #tell(code: RowProblemCode, describe: () => [TextRange, string]): void {
    if (this.#fold.isFull(code)) {
      this.#fold.count(code);
      return;
    }
    const problem = rowProblem(code, ...describe());
    if (this.#fold.add(problem)) this.#options.onProblem(problem);
  }
}
