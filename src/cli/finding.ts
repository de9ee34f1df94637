// Problems and events of a checked log as one list of findings, each with its place, level and code: what every format
// but JSON writes.
import type { StrainEvent } from '../core/change/events.ts';
import { andMoreLikeIt, countOf, duration } from '../core/display/numberFormat.ts';
import { rank } from '../core/problem.ts';
import type { Problem, Severity } from '../core/problem.ts';
import type { CheckedEvent, CheckedLog } from './checkLogs.ts';
import { shownPath } from './findLogs.ts';

export interface Finding {
  /** Path as shown of the file it lies in: the log, its companion header or its notes. */
  readonly path: string;
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
  readonly severity: Severity;
  /** A problem's code, or an event's kind. */
  readonly code: string;
  readonly message: string;
  /** Judged a false alarm in the notes: shown, but counts for nothing. */
  readonly dismissed: boolean;
  readonly event: CheckedEvent | undefined;
  readonly folded: number;
}

/** As other tools spell it: `info` is what problem matchers and terminals know. */
export const levelNames: Readonly<Record<Severity, string>> = {
  error: 'error',
  warning: 'warning',
  information: 'info',
};

/** In order of place: the companion header before the log, notes after it. */
export function findingsOf(log: CheckedLog, cwd: string): Finding[] {
  const all = [
    ...log.problems.map((problem) => problemFinding(problem, log.shown)),
    ...log.events.map((one) => fromEvent(one, log.shown)),
  ].sort((a, b) => a.line - b.line || a.column - b.column || rank(a) - rank(b));
  const notesShown = shownPath(log.notes.path, cwd);
  return [
    ...all.filter(({ path }) => path !== log.shown),
    ...all.filter(({ path }) => path === log.shown),
    ...log.notes.problems.map((problem) => problemFinding(problem, notesShown)),
  ];
}

/** How much of a log was read; `joint` stands between rows and time. */
export function sizeText({ header, analysis }: CheckedLog, joint: string): string {
  if (!header || !analysis) return 'rows not read';
  const { rows, startS, endS } = analysis.summary;
  if (rows === 0) return 'no rows, nothing was analysed';
  return `${countOf(rows, 'row', 'rows')}${joint}${duration(endS - startS)}`;
}

/** Worst first, then by place as they came. */
export function worstFirst(findings: readonly Finding[]): Finding[] {
  return [...findings].sort((a, b) => Number(a.dismissed) - Number(b.dismissed) || rank(a) - rank(b));
}

/** What is said of a finding: the message, how many were folded into it, and what a person made of it. */
export function toldOf(finding: Finding): string {
  const judgement = finding.event?.judgement;
  const more = andMoreLikeIt(finding.folded);
  if (!judgement || judgement.verdict === '') return `${finding.message}${more}`;
  const cause = judgement.cause === '' ? '' : `: ${judgement.cause.replace(/\s+/g, ' ').trim()}`;
  return `${finding.message}${more} (judged ${judgement.verdict.replace('-', ' ')}${cause})`;
}

/** `shown`: path of the log, or of its notes, as shown. */
export function problemFinding(problem: Problem, shown: string): Finding {
  const { range, file, severity, code, message, folded } = problem;
  const [folder, name] = [shown.slice(0, shown.lastIndexOf('/') + 1), shown.slice(shown.lastIndexOf('/') + 1)];
  const path = file === undefined ? shown : `${folder}${file}`;
  const told = message.replaceAll('<log>', () => name);
  return { path, ...range, severity, code, message: told, dismissed: false, event: undefined, folded: folded ?? 0 };
}

/** An event nobody has judged. */
export function eventFinding(event: StrainEvent, path: string): Finding {
  return fromEvent({ event, judgement: { verdict: '', cause: '', threads: [] } }, path);
}

function fromEvent(one: CheckedEvent, path: string): Finding {
  const { line, severity, kind, message, folded } = one.event;
  const dismissed = one.judgement.verdict === 'false-alarm';
  const place = { line, column: 1, endLine: line + 1, endColumn: 1 };
  return { path, ...place, severity, code: kind, message, dismissed, event: one, folded };
}
