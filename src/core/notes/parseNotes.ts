// Text of a notes file -> notes and problems with their exact places. Every thread that can be read is read; a file with
// an error is not `writable`, so that nothing of it is lost by writing it anew.
import * as v from 'valibot';
import { LineCounter, isMap, isNode, isSeq, parseDocument } from 'yaml';
import type { Document } from 'yaml';
import { isMergeMark, mergeRemedy } from '../mergeMark.ts';
import { wholeLine } from '../problem.ts';
import type { Problem, Severity, TextRange } from '../problem.ts';
import { compareText, emptyNotes, inOrder } from './notes.ts';
import type { Extra, GivenVerdict, Notes, Remark, Thread } from './notes.ts';
import { judgedKeys, notesKeys, notesSchema, remarkKeys, threadKeys } from './schema.ts';
import type { WrittenJudged, WrittenNotes, WrittenRemark, WrittenThread } from './schema.ts';
import { sourceBlocks } from './sourceBlocks.ts';
import { verdictProblems } from './verdictProblems.ts';

export interface NotesReading {
  readonly notes: Notes;
  readonly problems: readonly Problem[];
  /** False where the file holds an error: it must be mended by hand first and never be overwritten. */
  readonly writable: boolean;
}

type Path = readonly (string | number)[];

export function parseNotes(text: string): NotesReading {
  const lineBreak = text.includes('\r\n') ? '\r\n' : '\n';
  const plain = text.replace(/^\uFEFF/, '').replace(/\r\n/g, '\n');
  const conflicts = conflictMarkers(plain);
  if (conflicts.length > 0) return broken(conflicts);
  if (plain.trim() === '') return { notes: { ...emptyNotes('', ''), lineBreak }, problems: [], writable: true };
  const lines = new LineCounter();
  const document = parseDocument(plain, { lineCounter: lines, prettyErrors: false, logLevel: 'error' });
  const syntax = document.errors.map((error) =>
    syntaxProblem(error.message, rangeOf(wholeWord(plain, error.pos), lines)),
  );
  if (syntax.length > 0) return broken(syntax);
  return readDocument(document, plain, lines, lineBreak);
}

function readDocument(
  document: Document.Parsed,
  text: string,
  lines: LineCounter,
  lineBreak: Notes['lineBreak'],
): NotesReading {
  const place = (path: Path, atKey: boolean): TextRange => placeOf(document, path, atKey, lines);
  let value: unknown;
  try {
    value = document.toJS({ maxAliasCount: 0 });
  } catch {
    return broken([syntaxProblem('anchors and aliases (& and *) are not used in notes', wholeLine(1))]);
  }
  const checked = v.safeParse(notesSchema, value);
  const problems = [
    ...(checked.issues ?? []).map((issue) => schemaProblem(issue, place, (range) => textOf(text, range))),
    ...unknownKeys(value, place),
  ];
  const bad = new Set((checked.issues ?? []).map((issue) => badThread(issue)));
  // A fault outside the threads leaves them readable; one inside a thread costs only that thread.
  const written = (checked.success ? checked.output : value) as WrittenNotes | null;
  const blocks = sourceBlocks(document, text);
  const list = Array.isArray(written?.threads) ? written.threads : [];
  const threads = list.flatMap((thread, at) =>
    bad.has(at) ? [] : [withSource(threadOf(thread), blocks?.threads[at])],
  );
  problems.push(...repeatedIds(list, bad, place));
  problems.push(...verdictProblems(list, bad, (at, key) => place(['threads', at, key], false)));
  const notes: Notes = {
    log: typeof written?.log === 'string' ? written.log : '',
    fingerprint: typeof written?.fingerprint === 'string' ? written.fingerprint : '',
    threads: inOrder(threads),
    extra: extraOf(written, notesKeys),
    lineBreak,
    ...(blocks && { source: blocks.head }),
  };
  return { notes, problems, writable: !problems.some(({ severity }) => severity === 'error') };
}

function threadOf(written: WrittenThread): Thread {
  return {
    id: written.id,
    anchor: { timeS: written.time ?? NaN, headerLine: written.header_line ?? 0, hash: written.row ?? '' },
    cell: written.cell ?? '',
    event: written.event ?? '',
    verdict: written.verdict ?? '',
    judged: (written.judged ?? []).map(givenVerdict).sort((a, b) => compareText(a.date, b.date)),
    cause: written.cause ?? '',
    resolved: written.resolved ?? false,
    remarks: (written.remarks ?? []).map(remarkOf).sort((a, b) => compareText(a.date, b.date)),
    extra: extraOf(written, threadKeys),
  };
}

function remarkOf(written: WrittenRemark): Remark {
  return { date: written.date, by: written.by ?? '', text: written.text, extra: extraOf(written, remarkKeys) };
}

function givenVerdict(written: WrittenJudged): GivenVerdict {
  const { date, by = '', verdict } = written;
  return { date, by, verdict, extra: extraOf(written, judgedKeys) };
}

function withSource(thread: Thread, source: string | undefined): Thread {
  return source === undefined ? thread : { ...thread, source };
}

function extraOf(written: object | null, known: readonly string[]): Extra {
  return Object.fromEntries(Object.entries(written ?? {}).filter(([key]) => !known.includes(key)));
}

/** Lines that git leaves where two sides changed the same place. */
function conflictMarkers(text: string): Problem[] {
  const problems: Problem[] = [];
  text.split('\n').forEach((line, index) => {
    if (!isMergeMark(line)) return;
    const range = { line: index + 1, column: 1, endLine: index + 1, endColumn: line.length + 1 };
    problems.push({
      range,
      severity: 'error',
      code: 'notes-conflict',
      message: `${mergeRemedy}; until then no note is written.`,
    });
  });
  return problems;
}

function broken(problems: readonly Problem[]): NotesReading {
  return { notes: emptyNotes('', ''), problems, writable: false };
}

function syntaxProblem(message: string, range: TextRange): Problem {
  const told = message.charAt(0).toLowerCase() + message.slice(1).replace(/\.$/, '');
  const remedy = /unique/.test(message)
    ? 'Two branches may both have written it: keep one.'
    : 'Mend this place; until then no note is written.';
  return { range, severity: 'error', code: 'notes-syntax', message: `The notes cannot be read: ${told}. ${remedy}` };
}

function schemaProblem(
  issue: v.BaseIssue<unknown>,
  place: (path: Path, atKey: boolean) => TextRange,
  textAt: (range: TextRange) => string,
): Problem {
  const path = pathOf(issue);
  const missing = issue.kind === 'schema' && issue.received === 'undefined';
  const name = path.length > 0 ? `'${String(path[path.length - 1])}'` : 'the file';
  const range = place(missing ? path.slice(0, -1) : path, false);
  const at = { range, severity: 'error' } as const;
  if (missing) {
    const holder =
      path.length === 1
        ? 'a notes file'
        : path.includes('remarks')
          ? 'every remark'
          : path.includes('judged')
            ? 'every entry of judged'
            : 'every thread';
    return { ...at, code: 'notes-missing-key', message: `${name} is missing here; ${holder} needs it.` };
  }
  if (issue.type === 'string' && ['number', 'boolean'].includes(typeof issue.input)) {
    const quoted = JSON.stringify(textAt(range));
    const message = `${name} needs text; put quotes around it: ${quoted}.`;
    const fixes = [{ title: `Write ${quoted}`, range, newText: quoted }];
    return { ...at, code: 'notes-needs-quotes', message, fixes };
  }
  const subject = typeof path.at(-1) === 'number' ? 'This entry' : name;
  return { ...at, code: 'notes-wrong-value', message: `${subject} ${sentence(issue)}` };
}

const wanted: Readonly<Record<string, string>> = {
  loose_object: 'a set of keys with values',
  array: 'a list',
  number: 'a number',
  string: 'text',
};

function sentence({ message, type, path }: v.BaseIssue<unknown>): string {
  const keys = path === undefined ? `: ${notesKeys.join(', ')}` : '';
  const kind = wanted[type];
  const text =
    kind !== undefined && message.startsWith('Invalid type')
      ? `must be ${kind}${type === 'loose_object' ? keys : ''}`
      : message.replace(/^Invalid /, 'is not valid: invalid ');
  return `${text}${/[.!]$/.test(text) ? '' : '.'}`;
}

function pathOf(issue: v.BaseIssue<unknown>): (string | number)[] {
  return (issue.path ?? []).map(({ key }) => key as string | number);
}

function badThread(issue: v.BaseIssue<unknown>): number {
  const [first, at] = pathOf(issue);
  return first === 'threads' && typeof at === 'number' ? at : -1;
}

function unknownKeys(value: unknown, place: (path: Path, atKey: boolean) => TextRange): Problem[] {
  const problems: Problem[] = [];
  const look = (object: unknown, path: Path, known: readonly string[]): void => {
    if (typeof object !== 'object' || object === null || Array.isArray(object)) return;
    for (const key of Object.keys(object)) {
      if (known.includes(key)) continue;
      const message = `'${key}' is not a key of notes; it is kept but not used. The keys here are ${known.join(', ')}.`;
      problems.push(problemAt(place([...path, key], true), 'warning', 'notes-unknown-key', message));
    }
  };
  look(value, [], notesKeys);
  const threads: unknown = (value as WrittenNotes | null)?.threads;
  if (!Array.isArray(threads)) return problems;
  (threads as (WrittenThread | null)[]).forEach((thread, at) => {
    look(thread, ['threads', at], threadKeys);
    const judged: unknown = thread?.judged;
    if (Array.isArray(judged)) judged.forEach((one, n) => look(one, ['threads', at, 'judged', n], judgedKeys));
    const remarks: unknown = thread?.remarks;
    if (Array.isArray(remarks)) remarks.forEach((remark, n) => look(remark, ['threads', at, 'remarks', n], remarkKeys));
  });
  return problems;
}

function repeatedIds(
  threads: readonly WrittenThread[],
  bad: ReadonlySet<number>,
  place: (path: Path, atKey: boolean) => TextRange,
): Problem[] {
  const seen = new Set<string>();
  const problems: Problem[] = [];
  threads.forEach((thread, at) => {
    if (bad.has(at)) return;
    if (seen.has(thread.id)) {
      const message = `The id '${thread.id}' stands in the file twice. Two branches may both have changed this thread: put their remarks under one.`;
      problems.push(problemAt(place(['threads', at, 'id'], false), 'error', 'notes-repeated-id', message));
    }
    seen.add(thread.id);
  });
  return problems;
}

function problemAt(range: TextRange, severity: Severity, code: string, message: string): Problem {
  return { range, severity, code, message };
}

/** The range of the value at `path`, or of its key; of the nearest enclosing node where that is missing. */
function placeOf(document: Document.Parsed, path: Path, atKey: boolean, lines: LineCounter): TextRange {
  for (let depth = path.length; depth >= 0; depth--) {
    const parent: unknown = depth === 0 ? undefined : document.getIn(path.slice(0, depth - 1), true);
    const key = path[depth - 1];
    if (atKey && depth === path.length && isMap(parent)) {
      const pair = parent.items.find((item) => isNode(item.key) && String(item.key) === key);
      if (pair && isNode(pair.key) && pair.key.range) return rangeOf([pair.key.range[0], pair.key.range[1]], lines);
    }
    const node: unknown = depth === 0 ? document.contents : document.getIn(path.slice(0, depth), true);
    if (!isNode(node) || !node.range) continue;
    // A whole map or list would underline half the file: its first line is enough.
    const [start, end] = node.range;
    return isMap(node) || isSeq(node) ? firstLine(start, lines) : rangeOf([start, end], lines);
  }
  return wholeLine(1);
}

function rangeOf([start, end]: readonly [number, number], lines: LineCounter): TextRange {
  const [from, to] = [lines.linePos(start), lines.linePos(Math.max(start + 1, end))];
  return { line: from.line, column: from.col, endLine: to.line, endColumn: to.col };
}

/** The parser points at one sign; the word it begins is easier to see. */
function wholeWord(text: string, [start, end]: readonly [number, number]): [number, number] {
  const word = /^[\w-]+/.exec(text.slice(start, start + 80))?.[0].length ?? 0;
  return [start, Math.max(end, start + word)];
}

function firstLine(start: number, lines: LineCounter): TextRange {
  const { line, col } = lines.linePos(start);
  return { line, column: col, endLine: line + 1, endColumn: 1 };
}

/** The text of a range within one line. */
function textOf(text: string, { line, column, endColumn }: TextRange): string {
  return (text.split('\n')[line - 1] ?? '').slice(column - 1, endColumn - 1);
}
