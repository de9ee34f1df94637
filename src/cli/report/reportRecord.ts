// What the report's findings rest on: the log's own faults, build, plate and files, datum, settings, and cautions.
import { andMoreLikeIt, clock, countOf, duration, fixed, measure } from '../../core/display/numberFormat.ts';
import {
  gigapascal,
  kelvin,
  measureIn,
  megapascal,
  micrometres,
  microstrain,
  microstrainPerKelvin,
  millimetres,
} from '../../core/display/units.ts';
import type { LogHeader } from '../../core/header/logHeader.ts';
import { datumCode } from '../../core/pipeline/datumProblems.ts';
import { escapeHtml } from '../../core/notes/remarkHtml.ts';
import type { DatumReport } from '../../core/strain/datumReport.ts';
import type { CheckedLog } from '../checkLogs.ts';
import { levelNames } from '../finding.ts';
import { facts, linkedSection, paragraph, section, table } from './reportPage.ts';

/** Problems beyond these are counted. */
const mostProblems = 200;
const faultsId = 'faults';

export function problemSection(log: CheckedLog): string {
  if (log.problems.length === 0) return '';
  const shown = log.problems.slice(0, mostProblems);
  const rest = log.problems.length - shown.length;
  const rows = shown.map(({ range, file, severity, message, code, folded }) => ({
    cells: [
      `<span class="level ${severity}">${levelNames[severity]}</span>`,
      escapeHtml(`${file === undefined ? '' : `${file}:`}${range.line}:${range.column}`),
      escapeHtml(message) + andMoreLikeIt(folded),
      `<code>${escapeHtml(code)}</code>`,
    ],
  }));
  const columns = [
    { title: 'level', kind: 'short' },
    { title: 'place', kind: 'number' },
    { title: 'what' },
    { title: 'code', kind: 'short' },
  ] as const;
  return linkedSection(
    faultsId,
    'Faults of the log itself',
    table('Place is line and column of the log, or of the file named.', columns, rows),
    rest > 0
      ? paragraph(`… and ${countOf(rest, 'further one', 'further ones')}; 'underplate check' lists them all.`)
      : '',
  );
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
    header && summary
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
  const length = (value: number): string => measureIn(millimetres, value);
  return [
    ['build', build.name === '' ? 'not named' : build.name],
    ['started', build.started === '' ? 'not given' : build.started],
    ['layer height', measureIn(micrometres, build.layerHeightM)],
    ['layers planned', build.plannedLayers > 0 ? String(build.plannedLayers) : 'not given'],
    ['plate', `${plate.sizeM.map(length).join(' by ')}, ${length(plate.thicknessM)} thick`],
    ['material', plate.material === '' ? 'not given' : plate.material],
    ['Young’s modulus', measureIn(gigapascal, plate.youngsModulusPa)],
    ['Poisson’s ratio', measure(plate.poissonsRatio, '')],
    ['thermal expansion', measureIn(microstrainPerKelvin, plate.thermalExpansionPerK)],
    ['yield stress', measureIn(megapascal, plate.yieldStressPa)],
    [
      'planes',
      planes
        .map(({ name, heightM }) => `${name} ${Number.isFinite(heightM) ? length(heightM) : ''}`.trim())
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
  // What is wrong with the window is a fault of the log and told there.
  const why = log.problems.some(({ code }) => code === datumCode)
    ? `; see the <a href="#${faultsId}">faults of the log itself</a>`
    : '';
  return section('Datum', `<p>${datumVerdict(datum)}${why}.</p>`, facts(datumFacts(datum, header)));
}

function datumVerdict({ rows, fit }: DatumReport): string {
  if (rows === 0) return 'No row lies in this window, so no reading is called zero';
  const called = 'The readings in this window are called zero';
  return fit ? `${called}; the window is fit for that` : `${called}, but the window is not fit for that`;
}

/** Of a window without rows only where it lies: what is known of noise then comes from rows outside it. */
function datumFacts(datum: DatumReport, header: LogHeader): [string, string][] {
  const window: [string, string][] = Number.isFinite(datum.fromS)
    ? [['window', `${clock(datum.fromS)} to ${clock(datum.toS)}`]]
    : [];
  if (datum.rows === 0) return [...window, ['rows in it', '0']];
  const noise = datum.noise.filter(
    (value, at) => Number.isFinite(value) && header.channels[at]?.kind !== 'temperature',
  );
  return [
    ...window,
    ['rows in it', String(datum.rows)],
    ['drift of temperature', measureIn(kelvin, datum.temperatureDriftK)],
    [
      'noise of one reading',
      noise.length > 0
        ? `${measure(Math.min(...noise) * microstrain.scale, '')} to ${measureIn(microstrain, Math.max(...noise))}`
        : '–',
    ],
  ];
}

export function settingsSection(header: LogHeader): string {
  const { falseAlarmHours, smallestJump, mute } = header.detection;
  return section(
    'Settings',
    facts([
      ['false alarms', `one in ${measure(falseAlarmHours, 'h')}`],
      ['smallest change told', measureIn(microstrain, smallestJump)],
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
