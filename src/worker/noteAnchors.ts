// Where the threads of a log's notes stand today: asks the analysis for the rows around each thread's time and compares
// them with what the thread remembers. Whole logs are never searched; a row that is gone is said to be gone.
import type { AnchorRow, ResolvedAnchor } from '../core/notes/anchor.ts';
import {
  anchorOfHeaderLine,
  anchorOfRow,
  fingerprintRows,
  headerLineHash,
  logFingerprint,
  resolveAnchor,
  rowForm,
  rowHash,
} from '../core/notes/anchor.ts';
import type { Anchor, Thread } from '../core/notes/notes.ts';
import type { LogHeader } from '../core/header/logHeader.ts';
import type { AnalysisCalls, LogSummary } from '../messages/analysis.ts';

/** Rows looked at on either side of a thread's time. */
const reach = 3;
/** Questions open at once. */
const atOnce = 64;

export interface LogReader {
  readonly summary: LogSummary;
  readonly header: LogHeader;
  readonly calls: AnalysisCalls;
}

/** Places of the threads, in their order. */
export async function placesOf(threads: readonly Thread[], log: LogReader): Promise<ResolvedAnchor[]> {
  const headerRows = threads.some(({ anchor }) => anchor.headerLine > 0) ? await headerLines(log) : [];
  const places: ResolvedAnchor[] = [];
  for (let first = 0; first < threads.length; first += atOnce) {
    const part = threads.slice(first, first + atOnce);
    const rows = await Promise.all(
      part.map(({ anchor }) => (anchor.headerLine > 0 ? headerRows : rowsAround(anchor, log))),
    );
    part.forEach(({ anchor }, index) => places.push(resolveAnchor(anchor, rows[index] ?? [])));
  }
  return places;
}

/** The anchor for a thread on `line` (from 1), with the line it really takes; undefined where there is no such line. */
export async function anchorAt(line: number, log: LogReader): Promise<Anchor | undefined> {
  const { calls, summary, header } = log;
  if (line <= summary.namesLine) {
    const text = (await calls.excerpt({ line, before: 0, after: 0 })).lines[0];
    return text === undefined ? undefined : anchorOfHeaderLine(line, text);
  }
  const place = await calls.place({ line });
  const text = place && (await calls.excerpt({ line: place.line, before: 0, after: 0 })).lines[0];
  return place && text !== undefined ? anchorOfRow(place.timeS, text, rowForm(header)) : undefined;
}

/** What names the log by its first rows, '' while it has too few. */
export async function fingerprintOf({ calls, summary, header }: LogReader): Promise<string> {
  const { lines } = await calls.excerpt({ line: summary.namesLine + 1, before: 0, after: fingerprintRows - 1 });
  return lines.length >= fingerprintRows ? logFingerprint(lines, rowForm(header)) : '';
}

async function rowsAround(anchor: Anchor, { calls, header }: LogReader): Promise<AnchorRow[]> {
  const middle = await calls.place({ timeS: anchor.timeS });
  if (!middle) return [];
  const { firstLine, lines } = await calls.excerpt({ line: middle.line, before: reach, after: reach });
  const form = rowForm(header);
  const rows = lines.map(async (text, index): Promise<AnchorRow | undefined> => {
    const line = firstLine + index;
    const place = line === middle.line ? middle : await calls.place({ line });
    return place?.line === line ? { line, timeS: place.timeS, hash: rowHash(text, form) } : undefined;
  });
  return (await Promise.all(rows)).filter((row) => row !== undefined);
}

async function headerLines({ calls, summary }: LogReader): Promise<AnchorRow[]> {
  const { firstLine, lines } = await calls.excerpt({ line: 1, before: 0, after: summary.namesLine });
  return lines.map((text, index) => ({ line: firstLine + index, timeS: NaN, hash: headerLineHash(text) }));
}
