// Scans one byte range of a log file after another, each on its own: finds the range's first and last whole line, and
// gives rows with lines and offsets relative to the range. Node only (reads synchronously, in a scan thread).
import { readSync } from 'node:fs';
import type { LogHeader } from '../core/header/logHeader.ts';
import type { Problem } from '../core/problem.ts';
import { createScanner } from '../core/table/tableScanner.ts';
import type { RowBlock } from '../core/table/rowBlock.ts';
import { shiftProblem } from '../core/table/rowProblems.ts';
import { blockRowsFor } from '../core/table/rowBlock.ts';
import type { TableScanner } from '../core/table/scanner.ts';

/** A line that begins in a range may reach this far beyond it; a longer one cannot be scanned in parallel. */
const overlapBytes = 256 * 1024;
const lineFeed = 10;

export interface RangeResult {
  readonly lines: number;
  /** Offset in the file after the range's last whole line. */
  readonly endOffset: number;
  readonly problems: readonly Problem[];
}

export class RangeScan {
  readonly #fd: number;
  readonly #header: LogHeader;
  readonly #bodyOffset: number;
  readonly #size: number;
  readonly #rangeBytes: number;
  readonly #buffer: Uint8Array;
  #scanner: TableScanner | undefined;
  #onBlock: (block: RowBlock) => void = () => undefined;
  #problems: Problem[] = [];

  /** Bytes from `bodyOffset` to `size` are cut into ranges of `rangeBytes`. */
  constructor(fd: number, header: LogHeader, bodyOffset: number, size: number, rangeBytes: number) {
    this.#fd = fd;
    this.#header = header;
    this.#bodyOffset = bodyOffset;
    this.#size = size;
    this.#rangeBytes = rangeBytes;
    this.#buffer = new Uint8Array(rangeBytes + overlapBytes + 1);
  }

  /**
   * Scans range `range`; `onBlock` gets its rows. Undefined where the range cannot be scanned on its own: a line too
   * long, or a quote (a quoted field may hold a line break across the cut).
   */
  scan(range: number, onBlock: (block: RowBlock) => void): RangeResult | undefined {
    const bounds = this.#read(range);
    if (!bounds) return undefined;
    const scanner = (this.#scanner ??= this.#newScanner());
    const { line, offset } = scanner.position;
    const { from, to, fileOffset } = bounds;
    this.#problems = [];
    this.#onBlock = (block) => {
      for (let row = 0; row < block.rows; row++) {
        block.lines[row]! -= line;
        block.offsets[row]! += fileOffset - offset;
      }
      onBlock(block);
    };
    scanner.push(this.#buffer.subarray(from, to));
    scanner.flush();
    if (scanner.sawQuote || scanner.unfinishedBytes > 0) return undefined;
    const lines = scanner.position.line - line;
    // A scanner folds what it finds; to fold in file order, no scanner outlives a range with problems.
    if (this.#problems.length > 0) {
      scanner.finish();
      this.#scanner = undefined;
    }
    const problems = this.#problems.map((problem) => shiftProblem(problem, -line));
    return { lines, endOffset: fileOffset + (to - from), problems };
  }

  /** Whole lines that begin in the range, as a part of the buffer. */
  #read(range: number): { from: number; to: number; fileOffset: number } | undefined {
    const begin = this.#bodyOffset + range * this.#rangeBytes;
    const end = Math.min(this.#size, begin + this.#rangeBytes);
    // One byte earlier, to see whether the range begins on a line of its own.
    const readFrom = range === 0 ? begin : begin - 1;
    const length = readFully(this.#fd, this.#buffer, readFrom, Math.min(this.#size, end + overlapBytes) - readFrom);
    const bytes = this.#buffer.subarray(0, length);
    const from = range === 0 ? 0 : bytes.indexOf(lineFeed) + 1;
    if (range > 0 && from === 0) return undefined;
    if (readFrom + from >= end) return { from, to: from, fileOffset: readFrom + from };
    let to = bytes.indexOf(lineFeed, end - 1 - readFrom) + 1;
    if (to === 0) {
      // Only the log's last line may lack its line break; it is left unread.
      if (readFrom + length < this.#size) return undefined;
      to = bytes.lastIndexOf(lineFeed) + 1;
      if (to < from) to = from;
    }
    return { from, to, fileOffset: readFrom + from };
  }

  #newScanner(): TableScanner {
    return createScanner(this.#header, {
      blockRows: blockRowsFor(this.#header.columns.length),
      startLine: 1,
      // Not the log's first byte, where a byte order mark would be passed over.
      startOffset: 1,
      onBlock: (block) => this.#onBlock(block),
      onProblem: (problem) => this.#problems.push(problem),
    });
  }
}

function readFully(fd: number, buffer: Uint8Array, offset: number, length: number): number {
  let filled = 0;
  while (filled < length) {
    const read = readSync(fd, buffer, filled, length - filled, offset + filled);
    if (read === 0) break;
    filled += read;
  }
  return filled;
}
