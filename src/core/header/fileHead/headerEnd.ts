// Finds the end of a log's header (its `#` lines and the row of names) in the first bytes of a file, without reading on.
// Bytes in, header text and its length in bytes out; parseHeader judges the text.
import { wholeLine } from '../../problem.ts';
import type { Problem } from '../../problem.ts';
import type { TableForm } from '../logHeader.ts';

/** A header longer than this is none: bytes. */
export const headerLimit = 4 * 1024 * 1024;

export interface HeaderSplit {
  readonly text: string;
  /** Bytes taken by the text, the row of names and its line end included: rows start here. */
  readonly bytes: number;
  /** What the bytes alone show; parseHeader does not repeat it. */
  readonly problems: readonly Problem[];
}

const [lineFeed, carriageReturn, numberSign, space, tab] = [10, 13, 35, 32, 9];

/** 'need-more' until the row of names is complete. Call with all bytes from the start of the file. */
export function splitHeader(bytes: Uint8Array): HeaderSplit | 'need-more' {
  const end = namesEnd(bytes, byteOrderMark(bytes));
  if (end > 0) return split(bytes, 0, end);
  if (bytes.subarray(0, headerLimit).includes(0)) return split(bytes, 0, Math.min(bytes.length, 4096));
  if (bytes.length < headerLimit) return 'need-more';
  return { text: '', bytes: 0, problems: [tooLong()] };
}

/** The first rows of a foreign table are looked at, at most so many, to see how they are written. */
const rowsSeen = 5;

export interface SeenRow {
  readonly text: string;
  /** 1-based line in the file. */
  readonly line: number;
  /** Bytes of the file up to and with its line end. */
  readonly end: number;
}

export interface ForeignSplit extends HeaderSplit {
  /** 1-based line of the row of names, 0 where there is none. */
  readonly namesLine: number;
  /** The rows that follow it, whole ones. */
  readonly rows: readonly SeenRow[];
}

/**
 * The same for a foreign table: text is its row of names alone, the first line after `skipLines` lines of anything that is
 * neither blank nor comment. Where `holdsNames` denies that of it, but not of a comment right after those skipped, that is
 * the row of names. 'need-more' until the first rows are there as well; `final` for a file that has ended.
 */
export function splitForeign(
  bytes: Uint8Array,
  { skipLines, comment }: Pick<TableForm, 'skipLines' | 'comment'>,
  final = false,
  holdsNames: (text: string) => boolean = () => false,
): ForeignSplit | 'need-more' {
  const limit = Math.min(bytes.length, headerLimit);
  const mark = new TextEncoder().encode(comment);
  const rows: SeenRow[] = [];
  let marked: SeenRow | undefined;
  for (let line = 1, start = byteOrderMark(bytes); start < limit && rows.length <= rowsSeen; line++) {
    const lineEnd = bytes.indexOf(lineFeed, start);
    const whole = lineEnd >= 0 && lineEnd < limit;
    // At the file's end a row of names may lack its line break.
    if (!whole && (!final || rows.length > 0 || bytes.length >= headerLimit)) break;
    const end = whole ? lineEnd + 1 : bytes.length;
    if (line > skipLines && !isBlank(bytes, start, end)) {
      const row = { text: new TextDecoder().decode(bytes.subarray(start, whole ? lineEnd : end)), line, end };
      if (!begins(bytes, start, mark)) rows.push(row);
      else if (line === skipLines + 1 && holdsNames(row.text)) marked = row;
    }
    start = end;
  }
  if (bytes.length < headerLimit && !final && rows.length <= rowsSeen) return 'need-more';
  const names = marked && !(rows[0] && holdsNames(rows[0].text)) ? marked : rows.shift();
  if (names) return { ...splitRow(bytes, names), namesLine: names.line, rows: rows.slice(0, rowsSeen) };
  const tooFar = bytes.length >= headerLimit;
  return { text: '', bytes: tooFar ? 0 : bytes.length, problems: tooFar ? [tooLong()] : [], namesLine: 0, rows };
}

/** The line that ends as `row` does. */
function splitRow(bytes: Uint8Array, { end }: SeenRow): HeaderSplit {
  const before = end > 1 ? bytes.lastIndexOf(lineFeed, end - 2) : -1;
  return split(bytes, before < 0 ? byteOrderMark(bytes) : before + 1, end);
}

/** For a file that has ended: takes what there is. */
export function finalHeader(bytes: Uint8Array): HeaderSplit {
  const found = splitHeader(bytes);
  return found === 'need-more' ? split(bytes, 0, bytes.length) : found;
}

/** Offset after the row of names, 0 where it is not complete yet. */
function namesEnd(bytes: Uint8Array, start: number): number {
  const limit = Math.min(bytes.length, headerLimit);
  for (let lineStart = start; lineStart < limit;) {
    const lineEnd = bytes.indexOf(lineFeed, lineStart);
    if (lineEnd < 0 || lineEnd >= limit) return 0;
    if (bytes[lineStart] !== numberSign && !isBlank(bytes, lineStart, lineEnd)) return lineEnd + 1;
    lineStart = lineEnd + 1;
  }
  return 0;
}

function isBlank(bytes: Uint8Array, from: number, to: number): boolean {
  for (let at = from; at < to; at++) {
    const byte = bytes[at];
    if (byte !== space && byte !== tab && byte !== carriageReturn && byte !== lineFeed) return false;
  }
  return true;
}

function begins(bytes: Uint8Array, from: number, mark: Uint8Array): boolean {
  return mark.length > 0 && mark.every((byte, at) => bytes[from + at] === byte);
}

function byteOrderMark(bytes: Uint8Array): number {
  return bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? 3 : 0;
}

function split(bytes: Uint8Array, from: number, end: number): HeaderSplit {
  const text = new TextDecoder('utf-8').decode(bytes.subarray(from, end));
  const bad = text.indexOf('\uFFFD');
  return { text, bytes: end, problems: bad < 0 ? [] : [notUtf8(text, bad)] };
}

function notUtf8(text: string, at: number): Problem {
  const before = text.slice(0, at);
  const line = before.split('\n').length;
  const column = at - before.lastIndexOf('\n');
  return {
    range: { line, column, endLine: line, endColumn: column + 1 },
    severity: 'warning',
    code: 'not-utf8',
    message: 'a character here is not UTF-8, so names may not match; save the log as UTF-8',
  };
}

function tooLong(): Problem {
  return {
    range: wholeLine(1),
    severity: 'error',
    code: 'header-too-long',
    message: `no row of names within the first ${headerLimit / 1024 / 1024} MiB, so this is no strain log, or its header is too long to be read; check the file, or shorten its header`,
  };
}
