// The report's first sections: what was found, with a table of all events, and what going on would mean.
import { clock, countOf, duration, fixed } from '../core/display/numberFormat.ts';
import { escapeHtml } from '../core/notes/remarkHtml.ts';
import type { BuildOutlook } from './buildOutlook.ts';
import type { CheckedEvent, CheckedLog } from './checkLogs.ts';
import { levelNames, severities } from './finding.ts';
import { buildPlot } from './pictures.ts';
import { facts, figure, paragraph, section, table } from './reportPage.ts';

/** Events beyond these stand in the table only. */
const mostPictured = 12;

export async function foundSection(log: CheckedLog): Promise<string> {
  const counts = [
    ['error', 'lasting mechanical event', 'lasting mechanical events'],
    ['warning', 'brief or unsure one', 'brief or unsure ones'],
  ].flatMap(([severity, one, many]) => {
    const number = mechanicalEvents(log).filter(({ event }) => event.severity === severity).length;
    return number > 0 ? [countOf(number, one!, many!)] : [];
  });
  const faults = log.problems.filter(({ severity }) => severity !== 'information').length;
  const lead = [
    !log.header || log.analysis?.summary.rows === 0
      ? 'Nothing was analysed.'
      : counts.length === 0
        ? 'No mechanical event was found.'
        : `Found: ${counts.join(', ')}.`,
    faults === 0
      ? 'The log itself is sound.'
      : `The log itself has ${countOf(faults, 'fault', 'faults')}, listed below.`,
  ];
  const picture = await buildPlot(log, { widthPx: 900, heightPx: 260 });
  return section(
    'What was found',
    paragraph(lead.join(' '), 'lead'),
    log.events.length > 0 ? eventTable(log) : '',
    picture ? figure(picture) : '',
  );
}

function eventTable(log: CheckedLog): string {
  const pictured = picturedEvents(log);
  const inTime = [...log.events].sort((a, b) => a.event.timeS - b.event.timeS);
  const rows = inTime.map((one) => {
    const { event, judgement } = one;
    const at = pictured.indexOf(one);
    const message = escapeHtml(event.message) + (event.folded > 0 ? ` (and ${event.folded} more like it)` : '');
    const cells = [
      `<span class="level ${event.severity}">${levelNames[event.severity]}</span>`,
      escapeHtml(clock(event.timeS)),
      event.layer >= 0 ? String(event.layer) : '',
      String(event.line),
      at >= 0 ? `<a href="#event-${at + 1}">${message}</a>` : message,
      escapeHtml(judgement.verdict.replace('-', ' ')),
    ];
    return { cells, ...(judgement.verdict === 'false-alarm' && { className: 'dismissed' }) };
  });
  const columns = [
    { title: 'level', kind: 'short' },
    { title: 'time', kind: 'number' },
    { title: 'layer', kind: 'number' },
    { title: 'line', kind: 'number' },
    { title: 'what' },
    { title: 'verdict', kind: 'short' },
  ] as const;
  return table('Events in order of time, h:mm:ss from the first row.', columns, rows);
}

function mechanicalEvents(log: CheckedLog): CheckedEvent[] {
  return log.events.filter(({ event, judgement }) => {
    return event.nature === 'mechanical' && judgement.verdict !== 'false-alarm';
  });
}

/** The gravest first, then by time. */
export function picturedEvents(log: CheckedLog): CheckedEvent[] {
  const grave = ({ event }: CheckedEvent): number => severities.indexOf(event.severity);
  return mechanicalEvents(log)
    .sort((a, b) => grave(a) - grave(b) || a.event.timeS - b.event.timeS)
    .slice(0, mostPictured);
}

export function outlookSection(log: CheckedLog, outlook: BuildOutlook): string {
  const concerned = new Set(
    picturedEvents(log)
      .map(({ event }) => event.part)
      .filter((part) => part !== ''),
  );
  const known = Number.isFinite(outlook.leftS);
  const through = outlook.layersLeft === 0;
  const lines = [
    ['layers done', Number.isFinite(outlook.layersDone) ? fixed(outlook.layersDone, 0) : 'none'],
    ['layers planned', fixed(outlook.layersPlanned, 0)],
    ['plate time in this log', duration(outlook.spentS)],
    [
      'plate time left',
      through ? 'none' : known ? `about ${duration(outlook.leftS)}` : `not known: ${unknownLeft(outlook)}`,
    ],
  ] as const;
  const rows = outlook.parts.map(({ name, share, savedS }) => ({
    cells: [
      escapeHtml(name),
      concerned.has(name) ? '<span class="level error">an event lies under it</span>' : 'no event under it',
      `${fixed(share * 100, 0)} %`,
      Number.isFinite(savedS) ? escapeHtml(duration(savedS)) : '–',
    ],
  }));
  const columns = [
    { title: 'part' },
    { title: 'events' },
    { title: 'share of the parts’ area', kind: 'number' },
    { title: 'plate time that is its share', kind: 'number' },
  ] as const;
  return section(
    'Go on, drop a part, or stop',
    paragraph(
      'Sums from the header and the log, no advice: the time left is the layers left at the mean time of the layers in this log, without what went before the first; a part’s share of it goes by its outline’s area, though recoating takes its time whatever is exposed.',
    ),
    facts(lines),
    paragraph(stopText(outlook)),
    rows.length > 0 && !through ? table('', columns, rows) : '',
  );
}

function unknownLeft({ layersPlanned }: BuildOutlook): string {
  return layersPlanned > 0 ? 'the log has not come past one layer' : 'the header plans no layers';
}

function stopText({ leftS, spentS, layersLeft }: BuildOutlook): string {
  if (layersLeft === 0)
    return 'All planned layers are built: stopping or dropping a part saves no plate time any more.';
  if (!Number.isFinite(leftS))
    return `What stopping would save is not known; ${duration(spentS)} of plate time are spent.`;
  return `Stopping now would save about ${duration(leftS)} of plate time and give up the ${duration(spentS)} spent.`;
}
