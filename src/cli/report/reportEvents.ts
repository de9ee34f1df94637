// The report's events one by one: message, evidence, pictures, the change at each cell, verdict and notes.
import { clock, duration, fixed, measureWithError } from '../../core/display/numberFormat.ts';
import { microstrain } from '../../core/display/units.ts';
import type { LogHeader } from '../../core/header/logHeader.ts';
import type { Judgement } from '../../core/notes/judge.ts';
import { escapeHtml } from '../../core/notes/remarkHtml.ts';
import type { CheckedEvent, CheckedLog } from '../checkLogs.ts';
import { changeMap, directionPlot, eventPlot } from '../pictures.ts';
import { picturedEvents } from './reportFound.ts';
import { threadHtml } from './reportNotes.ts';
import { figure, paragraph, section, table } from './reportPage.ts';
import { isDisputed, verdictText } from './reportVerdicts.ts';

/** `lines`: those that notes hang on, by thread id. */
export async function eventSections(log: CheckedLog, lines: ReadonlyMap<string, number>): Promise<string> {
  const header = log.header;
  if (!header) return '';
  const parts: string[] = [];
  for (const [at, one] of picturedEvents(log).entries()) {
    const notes = one.judgement.threads.map((thread) => threadHtml(thread, lines));
    parts.push([await eventPart(log, header, one, at + 1), ...notes].join('\n'));
  }
  return parts.length === 0 ? '' : section('The events one by one', ...parts);
}

async function eventPart(log: CheckedLog, header: LogHeader, one: CheckedEvent, number: number): Promise<string> {
  const { event, judgement } = one;
  const place = [`line ${event.line}`, `time ${clock(event.timeS)}`, event.layer >= 0 ? `layer ${event.layer}` : ''];
  const lateS = event.detectedTimeS - event.timeS;
  const known = lateS > 0 ? `; known ${duration(lateS)} after it began` : '';
  const evidence = event.evidence.map(({ text }) => `<li>${escapeHtml(text)}</li>`);
  const pictures = [
    changeMap(header, event, { widthPx: 400, heightPx: 400 }),
    await eventPlot(log, event, { widthPx: 570, heightPx: 260 }),
    await directionPlot(log, event, { widthPx: 570, heightPx: 190 }),
  ];
  const [map, ...plots] = pictures;
  const curves = plots.flatMap((plot) => (plot ? [figure(plot)] : []));
  return [
    `<h3 id="event-${number}"><span class="level ${event.severity}">${number}. ${escapeHtml(event.kind)}</span>: ${escapeHtml(place.filter((text) => text !== '').join(', '))}</h3>`,
    paragraph(`${event.message}${known}.`),
    evidence.length > 0 ? `<ul class="evidence">${evidence.join('')}</ul>` : '',
    `<div class="figures">${figure(map!)}<div>${curves.join('\n')}</div></div>`,
    cellTable(header, one),
    judgement.verdict === '' ? '' : paragraph(judgedText(judgement)),
  ]
    .filter((part) => part !== '')
    .join('\n');
}

function judgedText(judgement: Judgement): string {
  const { verdict, cause } = judgement;
  const disputed = isDisputed(judgement) ? ', though somebody judged otherwise' : '';
  return `Judged ${verdictText(verdict)}${disputed}${cause === '' ? '' : `: ${cause}`}.`;
}

function cellTable(header: LogHeader, { event }: CheckedEvent): string {
  // A channel that moved by itself says nothing of the strain at its cell.
  if (!event.cells.some(({ change: [ex] }) => Number.isFinite(ex))) return '';
  const rows = event.cells.map(({ cell, plane, change: [ex, ey, gxy], turnDeg, turnErrorDeg, sigmas }) => ({
    cells: [
      escapeHtml(header.cells[cell]?.name ?? ''),
      escapeHtml(header.planes[plane]?.name ?? ''),
      ...[ex, ey, gxy].map((value) => signed(value * microstrain.scale)),
      escapeHtml(measureWithError(turnDeg, turnErrorDeg, '°')),
      fixed(sigmas, 1),
    ],
  }));
  const number = (title: string): { title: string; kind: 'number' } => ({ title, kind: 'number' });
  const columns = [
    { title: 'cell' },
    { title: 'plane' },
    number('ex'),
    number('ey'),
    number('gxy'),
    number('turn'),
    number('times noise'),
  ];
  return table(
    `Change at each cell, strongest first: strain after minus before in ${microstrain.unitLabel}, and turn of the principal direction.`,
    columns,
    rows,
  );
}

function signed(value: number): string {
  const text = fixed(value, 1);
  return value > 0 && Number(text) !== 0 ? `+${text}` : text;
}
