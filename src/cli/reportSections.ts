// The sections of a log's report, each from the checked log alone: what was found, what going on would mean, the events
// one by one with pictures and notes, the log's own faults, build, plate, datum, settings and cautions.
import { clock, countOf, duration, fixed, measure, measureWithError } from '../core/display/numberFormat.ts';
import { svgText } from '../core/display/svg.ts';
import type { SvgNode } from '../core/display/svg.ts';
import type { LogHeader } from '../core/header/logHeader.ts';
import type { Thread } from '../core/notes/notes.ts';
import { escapeHtml, remarkHtml } from '../core/notes/remarkHtml.ts';
import type { BuildOutlook } from './buildOutlook.ts';
import type { CheckedEvent, CheckedLog } from './checkLogs.ts';
import { levelNames, severities } from './finding.ts';
import { buildPlot, changeMap, directionPlot, eventPlot } from './pictures.ts';
import { facts, paragraph, section, table } from './reportPage.ts';

/** Events beyond these stand in the table only; problems beyond these are counted. */
const mostPictured = 12;
const mostProblems = 200;

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
    counts.length === 0 ? 'No mechanical event was found.' : `Found: ${counts.join(', ')}.`,
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

function stopText({ leftS, spentS, layersLeft }: BuildOutlook): string {
  if (layersLeft === 0)
    return 'All planned layers are built: stopping or dropping a part saves no plate time any more.';
  if (!Number.isFinite(leftS))
    return `What stopping would save is not known; ${duration(spentS)} of plate time are spent.`;
  return `Stopping now would save about ${duration(leftS)} of plate time and give up the ${duration(spentS)} spent.`;
}

function mechanicalEvents(log: CheckedLog): CheckedEvent[] {
  return log.events.filter(({ event, judgement }) => {
    return event.nature === 'mechanical' && judgement.verdict !== 'false-alarm';
  });
}

/** The gravest first, then by time. */
function picturedEvents(log: CheckedLog): CheckedEvent[] {
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
    ['layers done', fixed(outlook.layersDone, 0)],
    ['layers planned', fixed(outlook.layersPlanned, 0)],
    ['plate time so far', duration(outlook.spentS)],
    [
      'plate time left',
      through ? 'none' : known ? `about ${duration(outlook.leftS)}` : 'not known: the header plans no layers',
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
      'Sums from the header and the log, no advice: the time left is the layers left at the mean time of the layers done; a part’s share of it goes by its outline’s area, though recoating takes its time whatever is exposed.',
    ),
    facts(lines),
    paragraph(stopText(outlook)),
    rows.length > 0 && !through ? table('', columns, rows) : '',
  );
}

export async function eventSections(log: CheckedLog): Promise<string> {
  const header = log.header;
  if (!header) return '';
  const parts: string[] = [];
  for (const [at, one] of picturedEvents(log).entries()) parts.push(await eventPart(log, header, one, at + 1));
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
    judgement.verdict === ''
      ? ''
      : paragraph(
          `Judged ${judgement.verdict.replace('-', ' ')}${judgement.cause === '' ? '' : `: ${judgement.cause}`}.`,
        ),
    ...judgement.threads.map(threadHtml),
  ]
    .filter((part) => part !== '')
    .join('\n');
}

function cellTable(header: LogHeader, { event }: CheckedEvent): string {
  const rows = event.cells.map(({ cell, plane, change: [ex, ey, gxy], turnDeg, turnErrorDeg, sigmas }) => ({
    cells: [
      escapeHtml(header.cells[cell]?.name ?? ''),
      escapeHtml(header.planes[plane]?.name ?? ''),
      ...[ex, ey, gxy].map((value) => signed(value * 1e6)),
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
    'Change at each cell, strongest first: strain after minus before in µm/m, and turn of the principal direction.',
    columns,
    rows,
  );
}

function signed(value: number): string {
  const text = fixed(value, 1);
  return value > 0 && Number(text) !== 0 ? `+${text}` : text;
}

export function problemSection(log: CheckedLog): string {
  if (log.problems.length === 0) return '';
  const shown = log.problems.slice(0, mostProblems);
  const rest = log.problems.length - shown.length;
  const rows = shown.map(({ range, severity, message, code, folded }) => ({
    cells: [
      `<span class="level ${severity}">${levelNames[severity]}</span>`,
      `${range.line}:${range.column}`,
      escapeHtml(message) + (folded ? ` (and ${folded} more like it)` : ''),
      `<code>${escapeHtml(code)}</code>`,
    ],
  }));
  const columns = [
    { title: 'level', kind: 'short' },
    { title: 'place', kind: 'number' },
    { title: 'what' },
    { title: 'code', kind: 'short' },
  ] as const;
  return section(
    'Faults of the log itself',
    table('Place is line and column of the file.', columns, rows),
    rest > 0
      ? paragraph(`… and ${countOf(rest, 'further one', 'further ones')}; 'underplate check' lists them all.`)
      : '',
  );
}

export function notesSection(log: CheckedLog): string {
  const told = new Set(picturedEvents(log).flatMap(({ judgement }) => judgement.threads.map(({ id }) => id)));
  const others = log.notes.notes.threads.filter(({ id }) => !told.has(id));
  const faults = log.notes.problems.map(({ range, message }) =>
    paragraph(`Notes file, line ${range.line}: ${message}`),
  );
  if (others.length === 0 && faults.length === 0) return '';
  return section(told.size > 0 ? 'Other notes' : 'Notes', ...faults, ...others.map(threadHtml));
}

function threadHtml(thread: Thread): string {
  const { anchor, cell, verdict, cause, resolved } = thread;
  const place = anchor.headerLine > 0 ? `header line ${anchor.headerLine}` : `time ${clock(anchor.timeS)}`;
  const marks = [place, cell, verdict.replace('-', ' '), cause, resolved ? 'settled' : ''].filter(
    (text) => text !== '',
  );
  const remarks = thread.remarks.map(({ date, by, text }) => {
    return `<p class="by">${escapeHtml([by, date].filter((part) => part !== '').join(', '))}</p>\n${remarkHtml(text)}`;
  });
  return `<div class="note">\n<p class="by">${escapeHtml(marks.join(' · '))}</p>\n${remarks.join('\n')}\n</div>`;
}

export function recordSection(log: CheckedLog, files: readonly (readonly [string, string])[]): string {
  const { header, analysis } = log;
  const summary = analysis?.summary;
  const rows = files.map(([name, hash]) => ({ cells: [escapeHtml(name), `<code>${escapeHtml(hash)}</code>`] }));
  return section(
    'Build, plate and log',
    header ? facts(buildFacts(header)) : '',
    header && header.plate.assumed.length > 0
      ? paragraph(`Not in the header and assumed: ${header.plate.assumed.join(', ')}.`)
      : '',
    summary
      ? facts([
          ['rows', countOf(summary.rows, 'row', 'rows')],
          ['lines', String(summary.lines)],
          ['duration', duration(summary.endS - summary.startS)],
          ['size', `${summary.bytes} bytes`],
        ])
      : '',
    table('What this report was made from.', [{ title: 'file' }, { title: 'SHA-256' }], rows),
  );
}

function buildFacts({ build, plate, planes, cells, channels, recoaterDirectionRad }: LogHeader): [string, string][] {
  const millimetres = (value: number): string => measure(value * 1e3, 'mm');
  return [
    ['build', build.name === '' ? 'not named' : build.name],
    ['started', build.started === '' ? 'not given' : build.started],
    ['layer height', measure(build.layerHeightM * 1e6, 'µm')],
    ['layers planned', build.plannedLayers > 0 ? String(build.plannedLayers) : 'not given'],
    ['plate', `${plate.sizeM.map(millimetres).join(' by ')}, ${millimetres(plate.thicknessM)} thick`],
    ['material', plate.material === '' ? 'not given' : plate.material],
    ['Young’s modulus', measure(plate.youngsModulusPa / 1e9, 'GPa')],
    ['Poisson’s ratio', measure(plate.poissonsRatio, '')],
    ['thermal expansion', measure(plate.thermalExpansionPerK * 1e6, 'µm/m per K')],
    ['yield stress', measure(plate.yieldStressPa / 1e6, 'MPa')],
    [
      'planes',
      planes
        .map(({ name, heightM }) => `${name} ${Number.isFinite(heightM) ? millimetres(heightM) : ''}`.trim())
        .join(', ') || 'one',
    ],
    ['cells and channels', `${cells.length} and ${channels.length}`],
    [
      'recoater travels',
      Number.isFinite(recoaterDirectionRad)
        ? `${fixed((recoaterDirectionRad * 180) / Math.PI, 0)}° from x`
        : 'not given',
    ],
  ];
}

export function datumSection(log: CheckedLog): string {
  const datum = log.analysis?.summary.datum;
  const header = log.header;
  if (!datum || !header) return '';
  const noise = datum.noise.filter(
    (value, at) => Number.isFinite(value) && header.channels[at]?.kind !== 'temperature',
  );
  const list: [string, string][] = [
    ['window', `${clock(datum.fromS)} to ${clock(datum.toS)}`],
    ['rows in it', String(datum.rows)],
    ['drift of temperature', measure(datum.temperatureDriftK, 'K')],
    [
      'noise of one reading',
      noise.length > 0
        ? `${measure(Math.min(...noise) * 1e6, '')} to ${measure(Math.max(...noise) * 1e6, 'µm/m')}`
        : '–',
    ],
  ];
  const verdict = datum.fit
    ? 'The readings in this window are called zero; the window is fit for that.'
    : 'The readings in this window are called zero, but the window is not fit for that:';
  return section('Datum', paragraph(verdict), ...datum.reasons.map((reason) => paragraph(reason)), facts(list));
}

export function settingsSection(header: LogHeader): string {
  const { falseAlarmHours, smallestJump, mute } = header.detection;
  return section(
    'Settings',
    facts([
      ['false alarms', `one in ${measure(falseAlarmHours, 'h')}`],
      ['smallest change told', measure(smallestJump * 1e6, 'µm/m')],
      ['event kinds muted', mute.length > 0 ? mute.join(', ') : 'none'],
    ]),
  );
}

export function cautionSection(): string {
  const cautions = [
    'This is advice from readings of fibres in the build plate. It is no safety interlock and no proof that a part is sound or unsound: look at the part before it is used or scrapped.',
    'A break that strains the plate by less than the smallest change told, or far from any cell, leaves no trace here. Kinds and origins are inferred; where the message says so, they are unsure.',
    'Stresses and strains are those of the plate at the fibres, not of the part. Values of plate and fibres that were assumed are named above.',
    'For powder, inert gas and laser the machine maker’s procedures and local codes rule.',
  ];
  return section('Cautions', `<div class="caution">${cautions.map((text) => paragraph(text)).join('')}</div>`);
}

function figure(drawing: SvgNode): string {
  return `<figure>${svgText(drawing)}</figure>`;
}
