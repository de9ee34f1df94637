// What a reader of a table's body is given, and what it does.
import type { Problem } from '../problem.ts';
import type { TableHeader } from './fieldReader.ts';
import type { RowBlock } from './rowBlock.ts';

export interface ScannerOptions extends TableHeader {
  /** Most rows in a block; blockRowsFor(columns.length) keeps a block within about a mebibyte. */
  readonly blockRows: number;
  /** 1-based number of the line that the first pushed byte begins. */
  readonly startLine: number;
  /** Offset of the first pushed byte in the file. */
  readonly startOffset: number;
  /** The block is reused: copy what is to be kept. */
  readonly onBlock: (block: RowBlock) => void;
  readonly onProblem: (problem: Problem) => void;
}

/** What a reader of a table body does. */
export interface TableScanner {
  push(bytes: Uint8Array): void;
  /** Hands out the rows read so far as a block, without ending. */
  flush(): void;
  /** Forgets rows not handed out and bytes not read; the next bytes begin the given line, at `offset` in the file. */
  restart(line: number, offset: number): void;
  /** Ends: last block, what is left unread, and the counts of folded problems. */
  finish(): void;
  /** Where reading would go on after the last whole line. */
  readonly position: { readonly line: number; readonly offset: number };
  /** Bytes pushed but not read, because their line has not ended. */
  readonly unfinishedBytes: number;
  /** A quote was seen anywhere: a scan begun at a guessed line start may then have begun inside a quoted field. */
  readonly sawQuote: boolean;
  /** Rows handed out and rows waiting in the block. */
  readonly rows: number;
  /** Problems beyond the kept places so far, one for each code; `finish` tells them too. */
  foldedProblems(): readonly Problem[];
}
