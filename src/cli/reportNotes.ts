// The report's notes: those that belong to no event told one by one.
import { clock } from '../core/display/numberFormat.ts';
import { verdictGiver } from '../core/notes/notes.ts';
import type { Thread } from '../core/notes/notes.ts';
import { escapeHtml, remarkHtml } from '../core/notes/remarkHtml.ts';
import type { CheckedLog } from './checkLogs.ts';
import { picturedEvents } from './reportFound.ts';
import { paragraph, section } from './reportPage.ts';

export function notesSection(log: CheckedLog): string {
  const told = new Set(picturedEvents(log).flatMap(({ judgement }) => judgement.threads.map(({ id }) => id)));
  const others = log.notes.notes.threads.filter(({ id }) => !told.has(id));
  const faults = log.notes.problems.map(({ range, message }) =>
    paragraph(`Notes file, line ${range.line}: ${message}`),
  );
  if (others.length === 0 && faults.length === 0) return '';
  return section(told.size > 0 ? 'Other notes' : 'Notes', ...faults, ...others.map(threadHtml));
}

export function threadHtml(thread: Thread): string {
  const { anchor, cell, verdict, cause, resolved } = thread;
  const place = anchor.headerLine > 0 ? `header line ${anchor.headerLine}` : `time ${clock(anchor.timeS)}`;
  const given = verdictGiver(thread);
  const signed = given ? [given.by, given.date].filter((part) => part !== '').join(', ') : '';
  const judged = verdict.replace('-', ' ') + (signed === '' ? '' : ` (${signed})`);
  const marks = [place, cell, judged, cause, resolved ? 'settled' : ''].filter((text) => text !== '');
  const remarks = thread.remarks.map(({ date, by, text }) => {
    return `<p class="by">${escapeHtml([by, date].filter((part) => part !== '').join(', '))}</p>\n${remarkHtml(text)}`;
  });
  return `<div class="note">\n<p class="by">${escapeHtml(marks.join(' · '))}</p>\n${remarks.join('\n')}\n</div>`;
}
