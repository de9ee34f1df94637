// Where a thread hangs, and finding that place again. A row is known by its time and a hash of its values; the values are
// hashed as numbers, so that 1550.1200 and 1550.12 are the same row, and without the time, so that a log whose first
// rows were cut off and whose clock starts anew still finds its threads.
import type { LogHeader } from '../header/logHeader.ts';
import { fieldsOf } from '../table/rowFields.ts';
import { textHash } from './hash.ts';
import { compareText } from './notes.ts';
import type { Anchor } from './notes.ts';

/** How a row's text is taken apart. */
export interface RowForm {
  readonly delimiter: string;
  readonly decimal: '.' | ',';
  /** Field of the time, -1 where there is none. */
  readonly timeField: number;
}

/** A row that a thread may hang on. */
export interface AnchorRow {
  readonly line: number;
  /** Seconds of the log; for a line of the header NaN. */
  readonly timeS: number;
  /** Of `rowHash`, or of `headerLineHash`. */
  readonly hash: string;
}

/**
 * `found`: the same row at the same time. `moved`: the same row at another time or header line. `changed`: the row at
 * that time reads otherwise now. `lost`: no row near that time, or the header is shorter; `line` is then the nearest.
 */
export type AnchorState = 'found' | 'moved' | 'changed' | 'lost';

export interface ResolvedAnchor {
  readonly state: AnchorState;
  /** 0 where the log has no rows at all. */
  readonly line: number;
  readonly timeS: number;
}

export function rowForm(header: LogHeader): RowForm {
  return { delimiter: header.table.delimiter, decimal: header.table.decimal, timeField: header.roles.time };
}

/** Hash of a row's values, its time left out. */
export function rowHash(text: string, form: RowForm): string {
  const values = fieldsOf(text.slice(0, endOfRow(text)), form.delimiter).map((field) =>
    canonicalField(field, form.decimal),
  );
  return textHash(values.filter((_, index) => index !== form.timeField).join('\u001f'));
}

export function headerLineHash(text: string): string {
  return textHash(text.trimEnd());
}

/** Rows that a fingerprint is taken of: the noise in them is never the same in two builds. */
export const fingerprintRows = 8;

/** Names a log by its first `fingerprintRows` rows: the same after a renaming, a growth or a new header. */
export function logFingerprint(firstRows: readonly string[], form: RowForm): string {
  return textHash(firstRows.map((row) => rowHash(row, form)).join('\n'));
}

export function anchorOfRow(timeS: number, text: string, form: RowForm): Anchor {
  return { timeS, headerLine: 0, hash: rowHash(text, form) };
}

export function anchorOfHeaderLine(line: number, text: string): Anchor {
  return { timeS: NaN, headerLine: line, hash: headerLineHash(text) };
}

/**
 * The place of an anchor among `rows`, in order of line: for one on a row those around its time, or all; for one on the
 * header its lines, with NaN as time.
 */
export function resolveAnchor(anchor: Anchor, rows: readonly AnchorRow[]): ResolvedAnchor {
  const onHeader = anchor.headerLine > 0;
  const own = rows.filter(({ timeS }) => Number.isNaN(timeS) === onHeader);
  // A thread that somebody wrote by hand remembers nothing of its row.
  const same = anchor.hash === '' ? [] : own.filter(({ hash }) => hash === anchor.hash);
  return onHeader ? resolveHeaderLine(anchor, own, same) : resolveRow(anchor, own, same);
}

/** `same`: those of the rows that read as the anchor remembers. */
function resolveRow(anchor: Anchor, rows: readonly AnchorRow[], same: readonly AnchorRow[]): ResolvedAnchor {
  const inTime = [...rows].sort((a, b) => a.timeS - b.timeS || a.line - b.line);
  const at = nearest(inTime, anchor.timeS);
  const there = inTime[at];
  if (!there) return { state: 'lost', line: 0, timeS: anchor.timeS };
  const near = Math.abs(there.timeS - anchor.timeS) <= tolerance(inTime, at);
  const closest = closestOf(same, (row) => Math.abs(row.timeS - anchor.timeS));
  if (closest && Math.abs(closest.timeS - anchor.timeS) <= tolerance(inTime, at)) {
    return { state: 'found', line: closest.line, timeS: closest.timeS };
  }
  // Rows that are all alike (a stuck channel) tell nothing of where this one went.
  if (closest && (same.length === 1 || !near)) return { state: 'moved', line: closest.line, timeS: closest.timeS };
  if (near && anchor.hash === '') return { state: 'found', line: there.line, timeS: there.timeS };
  return { state: near ? 'changed' : 'lost', line: there.line, timeS: there.timeS };
}

function resolveHeaderLine(anchor: Anchor, header: readonly AnchorRow[], same: readonly AnchorRow[]): ResolvedAnchor {
  const closest = closestOf(same, (row) => Math.abs(row.line - anchor.headerLine));
  if (closest) {
    return { state: closest.line === anchor.headerLine ? 'found' : 'moved', line: closest.line, timeS: NaN };
  }
  const last = header.at(-1)?.line ?? 0;
  const state = anchor.headerLine > last ? 'lost' : anchor.hash === '' ? 'found' : 'changed';
  return { state, line: Math.min(anchor.headerLine, last), timeS: NaN };
}

/** Half a step to the neighbouring rows: a time closer than that means this row and no other. */
function tolerance(rows: readonly AnchorRow[], at: number): number {
  const before = at > 0 ? rows[at]!.timeS - rows[at - 1]!.timeS : Infinity;
  const after = at + 1 < rows.length ? rows[at + 1]!.timeS - rows[at]!.timeS : Infinity;
  const step = Math.min(before > 0 ? before : Infinity, after > 0 ? after : Infinity);
  return Number.isFinite(step) ? step / 2 : 1e-6;
}

function nearest(rows: readonly AnchorRow[], timeS: number): number {
  let low = 0;
  let high = rows.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (rows[middle]!.timeS < timeS) low = middle + 1;
    else high = middle;
  }
  const [before, after] = [rows[low - 1], rows[low]];
  if (!before || (after && after.timeS - timeS < timeS - before.timeS)) return low;
  return low - 1;
}

function closestOf(rows: readonly AnchorRow[], distance: (row: AnchorRow) => number): AnchorRow | undefined {
  let best: AnchorRow | undefined;
  for (const row of rows) if (!best || distance(row) < distance(best)) best = row;
  return best;
}

/** Where the line breaks at its end begin. Step by step: an expression would try each break within a field, too. */
function endOfRow(text: string): number {
  let end = text.length;
  while (text[end - 1] === '\n' || text[end - 1] === '\r') end--;
  return end;
}

function canonicalField(text: string, decimal: '.' | ','): string {
  if (text === '' || compareText(text.toLowerCase(), 'nan') === 0) return '';
  const value = Number(decimal === ',' ? text.replace(',', '.') : text);
  return Number.isNaN(value) ? text : String(value);
}
