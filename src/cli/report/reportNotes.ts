// The report's notes: those that belong to no event told one by one.
import { clock } from '../../core/display/numberFormat.ts';
import type { Thread } from '../../core/notes/notes.ts';
import { escapeHtml, remarkHtml } from '../../core/notes/remarkHtml.ts';
import { placesOf } from '../../worker/noteAnchors.ts';
import type { CheckedLog } from '../checkLogs.ts';
import { picturedEvents } from './reportFound.ts';
import { paragraph, section } from './reportPage.ts';
import { signedVerdict } from './reportVerdicts.ts';

/** Lines of the log that threads hang on today, by thread id, without those that lost their place. */
export async function noteLines(log: CheckedLog): Promise<ReadonlyMap<string, number>> {
  const { analysis, header } = log;
  const { threads } = log.notes.notes;
  if (!analysis || !header) return new Map();
  const places = await placesOf(threads, { ...analysis, header });
  return new Map(threads.flatMap(({ id }, at) => (places[at]!.state === 'lost' ? [] : [[id, places[at]!.line]])));
}

export function notesSection(log: CheckedLog, lines: ReadonlyMap<string, number>): string {
  const told = new Set(picturedEvents(log).flatMap(({ judgement }) => judgement.threads.map(({ id }) => id)));
  const others = log.notes.notes.threads.filter(({ id }) => !told.has(id));
  const faults = log.notes.problems.map(({ range, message }) =>
    paragraph(`Notes file, line ${range.line}: ${message}`),
  );
  if (others.length === 0 && faults.length === 0) return '';
  const notes = others.map((thread) => threadHtml(thread, lines));
  return section(told.size > 0 ? 'Other notes' : 'Notes', ...faults, ...notes);
}

export function threadHtml(thread: Thread, lines: ReadonlyMap<string, number>): string {
  const { id, anchor, cell, event, cause, resolved } = thread;
  const line = lines.get(id) ?? 0;
  const place = anchor.headerLine > 0 ? `header line ${anchor.headerLine}` : `time ${clock(anchor.timeS)}`;
  const marks = [
    anchor.headerLine === 0 && line > 0 ? `line ${line}` : '',
    place,
    cell,
    event === '' ? '' : `event ${event}`,
    signedVerdict(thread),
    cause,
    resolved ? 'settled' : '',
  ].filter((text) => text !== '');
  const remarks = thread.remarks.map(({ date, by, text }) => {
    return `<p class="by">${escapeHtml([by, date].filter((part) => part !== '').join(', '))}</p>\n${remarkHtml(text)}`;
  });
  return `<div class="note">\n<p class="by">${escapeHtml(marks.join(' · '))}</p>\n${remarks.join('\n')}\n</div>`;
}
