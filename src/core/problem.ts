// A problem is something wrong with a log, its header or its notes: where, how bad, a stable code, and what to do.
// Problems are returned, never thrown; throwing is for programmer errors.

/** Worst first. */
export const severities = ['error', 'warning', 'information'] as const;

export type Severity = (typeof severities)[number];

/** A stretch of text. Lines and columns count from 1; columns are UTF-16 code units; the end is exclusive. */
export interface TextRange {
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
}

/** One right answer to a problem: replace `range` by `newText`. */
export interface Fix {
  readonly title: string;
  readonly range: TextRange;
  readonly newText: string;
}

export interface Problem {
  readonly range: TextRange;
  /** Name of the file beside the log that the range is in; left out where it is the log itself. */
  readonly file?: string;
  readonly severity: Severity;
  /** Stable, kebab-case, part of the JSON contract, e.g. `unit-mismatch`. */
  readonly code: string;
  /** Says what is wrong and names the remedy. */
  readonly message: string;
  readonly fixes?: readonly Fix[];
  /** How many like it were folded into this one (same code), so that nothing is dropped in silence. */
  readonly folded?: number;
}

/** `line 12`, or `line 12 of ft.csv.header.yaml`: for sentences. */
export function placeWords({ range, file }: Problem): string {
  return `line ${range.line}${file === undefined ? '' : ` of ${file}`}`;
}

/** Orders problems of one file. */
export function byPlace(a: Problem, b: Problem): number {
  return a.range.line - b.range.line || a.range.column - b.range.column;
}

/** 0 for an error, more for less. */
export function rank({ severity }: { readonly severity: Severity }): number {
  return severities.indexOf(severity);
}

/** What was thrown, in its own words: for sentences that say why something did not come about. */
export function wordsOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

/** The range of one whole line; used where a finer place is not known. */
export function wholeLine(line: number): TextRange {
  return { line, column: 1, endLine: line + 1, endColumn: 1 };
}
