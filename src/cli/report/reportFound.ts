// The report's first sections: what was found, with a table of all events, and what going on would mean.
import type { EventNature } from '../../core/change/events.ts';
import { andMoreLikeIt, clock, count, countOf, duration, fixed } from '../../core/display/numberFormat.ts';
import { unjudged } from '../../core/display/text/unjudged.ts';
import { escapeHtml } from '../../core/notes/remarkHtml.ts';
import { severities } from '../../core/problem.ts';
import type { BuildOutlook } from './buildOutlook.ts';
import type { CheckedEvent, CheckedLog } from '../checkLogs.ts';
import { levelNames } from '../finding.ts';
import { buildPlot } from '../pictures.ts';
import { facts, figure, paragraph, section, table } from './reportPage.ts';
import { isDisputed, judgesOf, verdictText } from './reportVerdicts.ts';

/** Events beyond these stand in the table only. */
const mostPictured = 12;

export async function foundSection(log: CheckedLog): Promise<string> {
  const picture = await buildPlot(log, { widthPx: 900, heightPx: 260 });
  return section(
    'What was found',
    paragraph(leadOf(log).join(' '), 'lead'),
    log.events.length > 0 ? eventTable(log) : '',
    picture ? figure(picture) : '',
  );
}

function leadOf(log: CheckedLog): string[] {
  const ofSensors = eventsOf(log, 'sensor').reduce((sum, { event }) => sum + 1 + event.folded, 0);
  const faults = log.problems.filter(({ severity }) => severity !== 'information').length;
  return [
    ...mechanicalLead(log),
    ...(ofSensors > 0 ? [`Its sensors have ${countOf(ofSensors, 'fault', 'faults')}, listed below.`] : []),
    faults > 0
      ? `The log itself has ${countOf(faults, 'fault', 'faults')}, listed below.`
      : ofSensors > 0
        ? 'Its header and rows are sound.'
        : 'The log itself is sound.',
  ];
}

function mechanicalLead(log: CheckedLog): string[] {
  const summary = log.analysis?.summary;
  const nothing = summary?.header && summary.rows > 0 ? unjudged(summary) : 'Nothing was analysed.';
  if (nothing !== '') return [nothing];
  const standing = standingEvents(log);
  const counts = [
    ['error', 'lasting mechanical event', 'lasting mechanical events'],
    ['warning', 'brief or unsure one', 'brief or unsure ones'],
  ].flatMap(([severity, one, many]) => {
    const number = standing.filter(({ event }) => event.severity === severity).length;
    return number > 0 ? [countOf(number, one!, many!)] : [];
  });
  const dismissed = eventsOf(log, 'mechanical').filter(isDismissed);
  if (counts.length === 0 && dismissed.length === 0) return ['No mechanical event was found.'];
  return [
    ...(counts.length > 0 ? [`Found: ${counts.join(', ')}.`] : []),
    ...(dismissed.length > 0 ? [dismissedText(dismissed)] : []),
  ];
}

/** How many a person called false alarms, who did, and whether others say otherwise. */
function dismissedText(dismissed: readonly CheckedEvent[]): string {
  const judges = new Set(dismissed.flatMap(({ judgement }) => judgesOf(judgement)));
  const by = judges.size > 0 ? ` by ${[...judges].join(', ')}` : '';
  const unsigned = dismissed.filter(({ judgement }) => judgesOf(judgement).length === 0).length;
  const disputed = dismissed.filter(({ judgement }) => isDisputed(judgement)).length;
  const doubts = [
    unsigned === 0 ? '' : `of ${count(unsigned)} it was not noted who judged`,
    disputed === 0 ? '' : `of ${count(disputed)} somebody judged otherwise`,
  ].filter((text) => text !== '');
  const events = countOf(dismissed.length, 'mechanical event', 'mechanical events');
  return `${[`${events}, judged false alarm${by}`, ...doubts].join('; ')}.`;
}

function eventTable(log: CheckedLog): string {
  const pictured = picturedEvents(log);
  const inTime = [...log.events].sort((a, b) => a.event.timeS - b.event.timeS);
  const rows = inTime.map((one) => {
    const { event, judgement } = one;
    const at = pictured.indexOf(one);
    const message = escapeHtml(event.message) + andMoreLikeIt(event.folded);
    const cells = [
      `<span class="level ${event.severity}">${levelNames[event.severity]}</span>`,
      escapeHtml(clock(event.timeS)),
      event.layer >= 0 ? String(event.layer) : '',
      String(event.line),
      at >= 0 ? `<a href="#event-${at + 1}">${message}</a>` : message,
      verdictText(judgement.verdict) + (isDisputed(judgement) ? ', disputed' : ''),
    ];
    return { cells, ...(isDismissed(one) && { className: 'dismissed' }) };
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

function eventsOf(log: CheckedLog, nature: EventNature): CheckedEvent[] {
  return log.events.filter(({ event }) => event.nature === nature);
}

function isDismissed({ judgement }: CheckedEvent): boolean {
  return judgement.verdict === 'false-alarm';
}

/** Mechanical events that nobody dismissed. */
function standingEvents(log: CheckedLog): CheckedEvent[] {
  return eventsOf(log, 'mechanical').filter((one) => !isDismissed(one));
}

/** Those told one by one: the gravest first, then by time; after them those judged false alarms, whose evidence stays. */
export function picturedEvents(log: CheckedLog): CheckedEvent[] {
  const grave = ({ event }: CheckedEvent): number => severities.indexOf(event.severity);
  return eventsOf(log, 'mechanical')
    .sort(
      (a, b) => Number(isDismissed(a)) - Number(isDismissed(b)) || grave(a) - grave(b) || a.event.timeS - b.event.timeS,
    )
    .slice(0, mostPictured);
}

export function outlookSection(log: CheckedLog, outlook: BuildOutlook): string {
  const standing = new Set(standingEvents(log).map(({ event }) => event.part));
  const dismissed = new Set(eventsOf(log, 'mechanical').map(({ event }) => event.part));
  const under = (name: string): string =>
    standing.has(name)
      ? '<span class="level error">an event lies under it</span>'
      : dismissed.has(name)
        ? 'an event judged false alarm lies under it'
        : 'no event under it';
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
      under(name),
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
