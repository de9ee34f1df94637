// Notes on a log: threads of remarks, each hung on a row, an event or a header line, with a verdict and a cause.
// They live beside the log in `<log>.notes.yaml`; schema.ts says how they are written there.

export const verdicts = ['confirmed', 'false-alarm', 'unsure'] as const;
export type Verdict = (typeof verdicts)[number];

/** Keys of the file that this version does not know; kept and written back. */
export type Extra = Readonly<Record<string, unknown>>;

/** Where a thread hangs. Never a bare line number: rows move when a log is edited or exported again. */
export interface Anchor {
  /** Seconds of the log; NaN for a thread on a header line. */
  readonly timeS: number;
  /** Line of the header from 1; 0 for a thread on a row. */
  readonly headerLine: number;
  /** Hash of the row's values or the header line's text, '' where not known. */
  readonly hash: string;
}

export interface Remark {
  /** ISO 8601 in UTC. */
  readonly date: string;
  /** Author's name, '' where not known. */
  readonly by: string;
  /** Markdown. */
  readonly text: string;
  readonly extra: Extra;
}

/** Who judged, and when. */
export interface GivenVerdict {
  /** ISO 8601 in UTC. */
  readonly date: string;
  /** Author's name, '' where not known. */
  readonly by: string;
  readonly verdict: Verdict;
  readonly extra: Extra;
}

export interface Thread {
  readonly id: string;
  readonly anchor: Anchor;
  /** Name of the cell, '' where the thread is about the row as a whole. */
  readonly cell: string;
  /** Id of the event judged or discussed, '' where none. */
  readonly event: string;
  readonly verdict: Verdict | '';
  /** The latest verdict of each person, in order of date; none where it was not noted who judged. */
  readonly judged: readonly GivenVerdict[];
  readonly cause: string;
  readonly resolved: boolean;
  /** In order of date. */
  readonly remarks: readonly Remark[];
  readonly extra: Extra;
  /** The thread's lines as read from the file, kept while it is unchanged so that writing does not touch them. */
  readonly source?: string | undefined;
}

export interface Notes {
  /** File name of the log they belong to. */
  readonly log: string;
  /** What the log's first rows hash to, '' where not known: finds the log again after a renaming. */
  readonly fingerprint: string;
  /** In order of header line, time, id. */
  readonly threads: readonly Thread[];
  readonly extra: Extra;
  readonly lineBreak: '\n' | '\r\n';
  /** Lines above `threads:` as read, while unchanged. */
  readonly source?: string | undefined;
}

export function emptyNotes(log: string, fingerprint: string): Notes {
  return { log, fingerprint, threads: [], extra: {}, lineBreak: '\n' };
}

/** The one who gave the verdict that stands, the latest of them; undefined where it was not noted. */
export function verdictGiver({ verdict, judged }: Thread): GivenVerdict | undefined {
  return judged.findLast((one) => one.verdict === verdict);
}

/** Header lines first, then rows by time; ties by id, so that two writers agree on the order. */
export function inOrder(threads: readonly Thread[]): Thread[] {
  const place = ({ anchor }: Thread): number => (anchor.headerLine > 0 ? anchor.headerLine - 1e15 : anchor.timeS);
  return [...threads].sort((a, b) => place(a) - place(b) || compareText(a.id, b.id));
}

/** By code unit, the same on every machine and in every language. */
export function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
