// Accepted rows read again from the log through its line index: any range of rows, many small ranges, one place, and the
// text of lines. In: a byte source, the header's table and the index of a finished or running pass. Out: the same rows
// that the pass saw, bit for bit. Memory stays within a few blocks. A log that has changed meanwhile is told, not misread.
import type { LogHeader } from '../header/logHeader.ts';
import type { ByteSource } from './byteSource.ts';
import { createGate, createScanner, gateOptions } from './tableScanner.ts';
import { rowsPerEntry, type IndexEntry, type LineIndex } from './lineIndex.ts';
import type { RowBlock } from './rowBlock.ts';
import type { RowGate } from './rowGate.ts';
import { blockRowsFor, emptyBlock } from './rowBlock.ts';
import type { TableScanner } from './scanner.ts';

/** Bytes read at a time. */
const chunkBytes = 256 * 1024;
/** Ranges with fewer bytes than this between them are read as one. */
const gapBytes = 64 * 1024;
/** Longest line handed out as text; the rest of it is left out. */
const longestTextBytes = 64 * 1024;

type TableHeader = Pick<LogHeader, 'columns' | 'roles' | 'table'>;

/** Rows [from, to). */
export interface RowRange {
  readonly from: number;
  readonly to: number;
}

export interface RowPlace {
  readonly row: number;
  readonly line: number;
  readonly offset: number;
  readonly timeS: number;
  /** NaN where the log has no layers or the row has none. */
  readonly layer: number;
}

/** The log is not the one that was indexed any more: open it anew. */
export class LogChangedError extends Error {
  override readonly name = 'LogChangedError';

  constructor(line: number) {
    super(`The log has changed since it was read: line ${line} is not the row it was. Open the log again.`);
  }
}

/**
 * Reads rows [fromRow, toRow) again; `onBlock` gets them in order in blocks that are reused. Rows beyond the index are
 * left out. Rejects with LogChangedError where the file does not have the indexed rows at their places.
 */
export async function readRows(
  source: ByteSource,
  header: TableHeader,
  index: LineIndex,
  fromRow: number,
  toRow: number,
  onBlock: (block: RowBlock) => void,
): Promise<void> {
  await new Rereading(source, header, index).read(fromRow, toRow, onBlock);
}

/**
 * Reads many ranges of rows again, in ascending order; ranges that lie close together are read at one go. `onBlock` gets
 * the rows of each range in order, each range in blocks of its own.
 */
export async function readRowRanges(
  source: ByteSource,
  header: TableHeader,
  index: LineIndex,
  ranges: readonly RowRange[],
  onBlock: (block: RowBlock) => void,
): Promise<void> {
  const rereading = new Rereading(source, header, index);
  const sorted = ranges.filter((range) => range.to > range.from).sort((a, b) => a.from - b.from);
  for (let i = 0; i < sorted.length;) {
    let end = i + 1;
    let to = sorted[i]!.to;
    while (end < sorted.length && isNear(index, to, sorted[end]!.from)) to = Math.max(to, sorted[end++]!.to);
    const group = sorted.slice(i, end);
    await rereading.read(group[0]!.from, to, (block) => {
      for (const range of group) {
        if (range.to <= block.firstRow) continue;
        if (range.from >= block.firstRow + block.rows) break;
        onBlock(rowsBetween(block, range.from, range.to));
      }
    });
    i = end;
  }
}

/** Where row `row` is; undefined beyond the index. */
export async function placeOfRow(
  source: ByteSource,
  header: TableHeader,
  index: LineIndex,
  row: number,
): Promise<RowPlace | undefined> {
  if (!(row >= 0 && row < index.rows)) return undefined;
  return findPlace(source, header, index, index.entryBefore(row), (place) => place.row <= row);
}

/** The last row at or before a time; the first row where there is none before. */
export async function placeOfTime(
  source: ByteSource,
  header: TableHeader,
  index: LineIndex,
  timeS: number,
): Promise<RowPlace | undefined> {
  return findPlace(source, header, index, index.entryBeforeTime(timeS), (place) => place.timeS <= timeS);
}

/** The last row that begins at or before a line; the first row where there is none before. */
export async function placeOfLine(
  source: ByteSource,
  header: TableHeader,
  index: LineIndex,
  line: number,
): Promise<RowPlace | undefined> {
  return findPlace(source, header, index, index.entryBeforeLine(line), (place) => place.line <= line);
}

/**
 * The text of `count` lines from `fromLine` on (from 1; the header's lines count), without line breaks; fewer at the end.
 * A line longer than 64 KiB is cut and ends with an ellipsis.
 */
export async function readLines(
  source: ByteSource,
  index: LineIndex | undefined,
  fromLine: number,
  count: number,
): Promise<string[]> {
  const entry = index?.entryBeforeLine(fromLine);
  const start = entry && entry.line <= fromLine ? entry : { line: 1, offset: 0 };
  const lines: string[] = [];
  const text = new Uint8Array(longestTextBytes);
  let used = 0;
  let cut = false;
  let line = start.line;
  const endLine = (): void => {
    if (line++ < fromLine) return;
    const length = used > 0 && !cut && text[used - 1] === 13 ? used - 1 : used;
    lines.push(new TextDecoder().decode(text.subarray(0, length)) + (cut ? '…' : ''));
  };
  for (let offset = start.offset; lines.length < count;) {
    const bytes = await source.read(offset, chunkBytes);
    if (bytes.length === 0) break;
    offset += bytes.length;
    for (let p = 0; p < bytes.length && lines.length < count;) {
      const lineBreak = bytes.indexOf(10, p);
      const to = lineBreak < 0 ? bytes.length : lineBreak;
      const room = Math.min(to - p, text.length - used);
      text.set(bytes.subarray(p, p + room), used);
      used += room;
      cut ||= room < to - p;
      p = to + 1;
      if (lineBreak < 0) break;
      endLine();
      used = 0;
      cut = false;
    }
  }
  if (lines.length < count && used > 0) endLine();
  return lines;
}

/** Scanner and gate set up once for any number of ranges. */
class Rereading {
  readonly #source: ByteSource;
  readonly #index: LineIndex;
  readonly #columns: number;
  readonly #timeColumn: number;
  readonly #gate: RowGate;
  readonly #scanner: TableScanner;
  #from = 0;
  #to = 0;
  #onBlock: (block: RowBlock) => void = () => undefined;

  constructor(source: ByteSource, header: TableHeader, index: LineIndex) {
    this.#source = source;
    this.#index = index;
    this.#columns = header.columns.length;
    this.#timeColumn = gateOptions(header).timeColumn;
    this.#gate = createGate(header);
    this.#scanner = createScanner(header, {
      blockRows: Math.min(blockRowsFor(this.#columns), 4 * rowsPerEntry),
      startLine: 1,
      startOffset: 0,
      onBlock: (block) => {
        this.#gate.accept(block);
        this.#take(block);
      },
      onProblem: () => undefined,
    });
  }

  /** As readRows. */
  async read(fromRow: number, toRow: number, onBlock: (block: RowBlock) => void): Promise<void> {
    const [index, gate, scanner] = [this.#index, this.#gate, this.#scanner];
    this.#from = Math.max(0, fromRow);
    this.#to = Math.min(index.rows, toRow);
    this.#onBlock = onBlock;
    if (this.#from >= this.#to) return;
    const first = index.entryBefore(this.#from)!;
    gate.resumeAt(first.row, index.originS);
    scanner.restart(first.line, first.offset);
    const end = nextEntryOffset(index, this.#to);
    for (let offset = first.offset; offset < end && gate.accepted < this.#to;) {
      const wanted = Math.min(chunkBytes, end - offset);
      const bytes = await this.#source.read(offset, wanted);
      scanner.push(bytes);
      offset += bytes.length;
      if (bytes.length < wanted) break;
    }
    scanner.flush();
    if (gate.accepted < this.#to) {
      const held = emptyBlock(this.#columns, 0);
      gate.finish(held);
      this.#take(held);
    }
    if (gate.accepted < this.#to) throw new LogChangedError(first.line);
  }

  #take(block: RowBlock): void {
    checkEntries(this.#index, block, this.#timeColumn);
    if (block.firstRow + block.rows <= this.#from || block.firstRow >= this.#to) return;
    this.#onBlock(rowsBetween(block, this.#from, this.#to));
  }
}

async function findPlace(
  source: ByteSource,
  header: TableHeader,
  index: LineIndex,
  entry: IndexEntry | undefined,
  isBefore: (place: RowPlace) => boolean,
): Promise<RowPlace | undefined> {
  if (!entry) return undefined;
  const { timeColumn, layerColumn } = gateOptions(header);
  let found: RowPlace = entry;
  let passed = false;
  await readRows(source, header, index, entry.row, entry.row + rowsPerEntry, (block) => {
    for (let row = 0; row < block.rows && !passed; row++) {
      const place = {
        row: block.firstRow + row,
        line: block.lines[row]!,
        offset: block.offsets[row]!,
        timeS: block.columns[timeColumn]![row]!,
        layer: layerColumn < 0 ? NaN : block.columns[layerColumn]![row]!,
      };
      passed = !isBefore(place);
      if (!passed) found = place;
    }
  });
  return found;
}

/** Every indexed row in the block must stand where the index says, at its time. */
function checkEntries(index: LineIndex, block: RowBlock, timeColumn: number): void {
  const time = block.columns[timeColumn]!;
  const skip = (rowsPerEntry - (block.firstRow % rowsPerEntry)) % rowsPerEntry;
  for (let row = skip; row < block.rows; row += rowsPerEntry) {
    const number = (block.firstRow + row) / rowsPerEntry;
    if (number >= index.entryCount) return;
    const entry = index.entry(number);
    if (entry.offset !== block.offsets[row] || entry.timeS !== time[row]) throw new LogChangedError(entry.line);
  }
}

/** The rows of `block` in [from, to), of which there must be some, as a block over the same memory. */
function rowsBetween(block: RowBlock, from: number, to: number): RowBlock {
  const first = Math.max(0, from - block.firstRow);
  const end = Math.min(block.rows, to - block.firstRow);
  if (first === 0 && end === block.rows) return block;
  return {
    rows: end - first,
    firstRow: block.firstRow + first,
    columns: block.columns.map((column) => column.subarray(first)),
    lines: block.lines.subarray(first),
    offsets: block.offsets.subarray(first),
  };
}

/** Offset of the first entry at or after `row`; infinite where the index ends before. */
function nextEntryOffset(index: LineIndex, row: number): number {
  const number = Math.ceil(row / rowsPerEntry);
  return number < index.entryCount ? index.entry(number).offset : Infinity;
}

function isNear(index: LineIndex, to: number, from: number): boolean {
  if (from <= to) return true;
  return index.entryBefore(from)!.offset - nextEntryOffset(index, to) < gapBytes;
}
