// Notes -> the text of their file. Same notes, same bytes. Threads that were not changed since they were read are written
// back as they stood; the others in a fixed order of keys, one entry a block, nothing reflowed, so that a change of one
// thread is a change of its lines only and two people's changes merge.
import { Document, isCollection, isSeq, stringify } from 'yaml';
import { inOrder } from './notes.ts';
import type { GivenVerdict, Notes, Remark, Thread } from './notes.ts';

/** Lines are never folded; words that older YAML takes for numbers or yes and no are quoted. */
const style = { lineWidth: 0, blockQuote: 'literal', compat: 'yaml-1.1', aliasDuplicateObjects: false } as const;

export function formatNotes(notes: Notes): string {
  const threads = inOrder(notes.threads);
  const blocks = threads.map((thread) => thread.source ?? formatThread(thread));
  const text = `${notes.source ?? formatHead(notes)}${blocks.join('')}`;
  const closed = threads.length === 0 ? text.replace(/^threads:[ \t]*(#.*)?\n$/m, 'threads: []\n') : text;
  return notes.lineBreak === '\r\n' ? closed.replace(/\n/g, '\r\n') : closed;
}

function formatHead(notes: Notes): string {
  const head = {
    notes: 1,
    ...(notes.log !== '' && { log: notes.log }),
    ...(notes.fingerprint !== '' && { fingerprint: notes.fingerprint }),
    ...notes.extra,
  };
  return `${stringify(head, style)}threads:\n`;
}

/**
 * Keys that differ from thread to thread (id, time, row, event) stand between those that are often the same, so that
 * git, joining two branches' new threads, never finds enough equal lines in a row to weave one entry into another. The
 * two lists that grow stand far apart, so that git joins each for itself where two people note the same event.
 */
function formatThread(thread: Thread): string {
  const { anchor } = thread;
  const written = {
    id: thread.id,
    ...(thread.judged.length > 0 && { judged: thread.judged.map(writtenJudged) }),
    ...(anchor.headerLine > 0 ? { header_line: anchor.headerLine } : { time: anchor.timeS }),
    ...(thread.cell !== '' && { cell: thread.cell }),
    ...(thread.resolved && { resolved: true }),
    ...(anchor.hash !== '' && { row: anchor.hash }),
    ...(thread.event !== '' && { event: thread.event }),
    ...thread.extra,
    ...(thread.verdict !== '' && { verdict: thread.verdict }),
    ...(thread.cause !== '' && { cause: thread.cause }),
    ...(thread.remarks.length > 0 && { remarks: thread.remarks.map(writtenRemark) }),
  };
  const document = new Document([written], style);
  const judged = document.getIn([0, 'judged']);
  // Each on a line of its own, so that joining two people's never weaves one into the other.
  if (isSeq(judged)) judged.items.forEach((one) => isCollection(one) && (one.flow = true));
  return indented(document.toString(style));
}

function writtenJudged({ date, by, verdict, extra }: GivenVerdict): object {
  return { date, ...(by !== '' && { by }), verdict, ...extra };
}

function writtenRemark({ date, by, text, extra }: Remark): object {
  return { date, ...(by !== '' && { by }), ...extra, text };
}

/** Two spaces in; lines of nothing stay so, as they may stand inside a block of text. */
function indented(text: string): string {
  return text.replace(/^(?=.)/gm, '  ');
}
