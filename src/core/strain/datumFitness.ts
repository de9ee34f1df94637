// Whether a datum window may be called zero: each objection is one sentence with its number and the remedy's clue.
// The limits are judgement, not measurement science: a datum wrong by more than a few microstrain shifts every figure.
import { asRead, countOf, fixed, withUnit } from '../display/numberFormat.ts';
import { kelvin, microstrain } from '../display/units.ts';
import type { LogHeader } from '../header/logHeader.ts';
import { carriesTemperature } from '../header/logHeader.ts';
import type { DatumReport } from './datumReport.ts';
import { largestStep } from './robust.ts';

/** Where the header names no window: from the first row, for so long, and on until there are so many rows. */
export const defaultDatum = { seconds: 120, rows: 20, longestSeconds: 3600, mostRows: 20_000 } as const;

/** 3 K: with an expansion known to 5 % (24 um/m per K), compensation is then off by 3.5 um/m from end to end. */
const datumLimits = {
  temperatureDriftK: 3,
  strainDrift: 20e-6,
  step: 10e-6,
  stepSigmas: 6,
  missing: 0.2,
} as const;

type Figures = Omit<DatumReport, 'fit' | 'reasons'>;
type Series = readonly (Float64Array | undefined)[];

/** What the rows of the window gave, per channel of the header. */
export interface DatumRows {
  /** Mechanical strain; undefined for channels of temperature. */
  readonly strain: Series;
  readonly readings: readonly Float64Array[];
  /** Of one reading; NaN where neither the window nor the rows before it tell. */
  readonly noise: readonly number[];
  /** Index of the thermometer by which heat is taken out of the channel; -1 where none is. */
  readonly sources: readonly number[];
  /** Index of the thermometer without which the channel has no zero, since it did not read; else -1. */
  readonly unzeroed: readonly number[];
}

export function datumReasons(header: LogHeader, figures: Figures, rows: DatumRows): string[] {
  if (figures.rows === 0) return [emptyReason(header, figures, rows.unzeroed)];
  const reasons = silentReasons(header, rows.unzeroed);
  if (figures.rows < defaultDatum.rows) {
    reasons.push(
      `The datum window holds only ${countOf(figures.rows, 'row', 'rows')}; ${defaultDatum.rows} are needed to know the noise: name a longer one.`,
    );
  }
  if (figures.temperatureDriftK > datumLimits.temperatureDriftK) {
    const drift = withUnit(fixed(figures.temperatureDriftK, 1), kelvin.unitLabel);
    reasons.push(`The temperature still moves by ${drift} in the datum window; choose a later or steadier one.`);
  }
  reasons.push(...stepReasons(header, figures, rows.strain));
  reasons.push(...missingReasons(header, rows), ...constantReasons(header, rows));
  return reasons;
}

function emptyReason(header: LogHeader, { fromS, toS }: Figures, unzeroed: readonly number[]): string {
  const where = Number.isFinite(fromS) ? ` from ${asRead(fromS)} s to ${asRead(toS)} s` : '';
  const lost = cellsWithoutZero(header, unzeroed);
  const lacks = lost === '' ? [] : [`without a temperature to count from there is no strain for ${lost}`];
  const others = header.channels.some((channel, i) => !carriesTemperature(channel) && unzeroed[i]! < 0);
  const rest = `${lost === '' ? '' : 'other '}strain is shown against the resting readings of the header`;
  const effects = [...lacks, ...(others ? [rest] : [])];
  return `The datum window${where} holds no rows; ${effects.join('; ')}: name a window within the log.`;
}

/** The thermometers that did not read, and the cells whose strain is lost by it. */
function silentReasons(header: LogHeader, unzeroed: readonly number[]): string[] {
  const lost = cellsWithoutZero(header, unzeroed);
  if (lost === '') return [];
  const silent = [...new Set(unzeroed.filter((t) => t >= 0))].map((t) => header.channels[t]!.name);
  return [
    `Thermometer ${listed(silent)} has no usable reading in the datum window, so heat cannot be told from strain and there ` +
      `is no strain for ${lost}; choose a window in which it reads.`,
  ];
}

function cellsWithoutZero(header: LogHeader, unzeroed: readonly number[]): string {
  const cells = header.channels.filter((_, i) => unzeroed[i]! >= 0).map(({ cell }) => header.cells[cell]!.name);
  return listed([...new Set(cells)]);
}

/** The first few by name, the others counted. */
function listed(names: readonly string[]): string {
  const more = names.length - mostNamed;
  return more > 0 ? `${names.slice(0, mostNamed).join(', ')} and ${more} more` : names.join(', ');
}

const mostNamed = 3;

/** The worst step, else the worst drift, among the strain channels; how many others share it. */
function stepReasons(header: LogHeader, figures: Figures, strain: Series): string[] {
  const name = (i: number): string => header.channels[i]!.name;
  const steps = strain.map((values, i) => {
    if (!values) return 0;
    const width = Math.max(3, Math.floor(values.length / 10));
    const step = largestStep(values, width);
    const limit = Math.max(datumLimits.step, datumLimits.stepSigmas * figures.noise[i]! * Math.sqrt(2 / width));
    // A slope moves by width/length of its drift between two blocks; only what exceeds that twice is a step.
    const slope = (2 * Math.abs(figures.drift[i]!) * width) / values.length;
    return Math.abs(step) > Math.max(limit, slope) ? step : 0;
  });
  const stepped = worst(steps);
  if (stepped.index >= 0) {
    const size = strainText(steps[stepped.index]!);
    return [
      `Channel ${name(stepped.index)} steps by ${size} inside the datum window${others(stepped.count)}; ` +
        'something happened there: choose another window.',
    ];
  }
  const drifted = worst(figures.drift.map((d) => (Math.abs(d) > datumLimits.strainDrift ? d : 0)));
  if (drifted.index < 0) return [];
  const size = strainText(figures.drift[drifted.index]!);
  return [
    `Channel ${name(drifted.index)} drifts by ${size} over the datum window${others(drifted.count)}; choose a steadier one.`,
  ];
}

function strainText(strain: number): string {
  return withUnit(fixed(strain * microstrain.scale, 1), microstrain.unitLabel);
}

/** Thermometers whose silence has been told are left out. */
function missingReasons(header: LogHeader, { readings, unzeroed }: DatumRows): string[] {
  const gaps = readings.map((values, i) => {
    if (values.length === 0 || unzeroed.includes(i)) return 0;
    const missing = values.reduce((count, value) => count + (Number.isNaN(value) ? 1 : 0), 0) / values.length;
    return missing > datumLimits.missing ? missing : 0;
  });
  const gap = worst(gaps);
  if (gap.index < 0) return [];
  const share = (gaps[gap.index]! * 100).toFixed(0);
  const channel = header.channels[gap.index]!.name;
  return [
    `Channel ${channel} has no usable reading in ${share} % of the datum window${others(gap.count)}; choose one in which it reads.`,
  ];
}

/** What no error can be told without, and whose every reading is the same: its noise cannot be told. */
function constantReasons(header: LogHeader, { readings, strain, noise, sources }: DatumRows): string[] {
  const constant = readings.map((values, i) => {
    const known = values.filter((value) => !Number.isNaN(value));
    const matters = Number.isNaN(noise[i]) && (strain[i] !== undefined || sources.includes(i));
    return matters && known.length > 4 && known.every((value) => value === known[0]) ? 1 : 0;
  });
  const first = worst(constant);
  if (first.index < 0) return [];
  return [
    `Channel ${header.channels[first.index]!.name} gives one and the same reading in the datum window${others(first.count)}, ` +
      'so its noise is unknown, and errors and directions that need it are left empty; choose a longer window, or log ' +
      'more decimals.',
  ];
}

function worst(values: readonly number[]): { index: number; count: number } {
  let index = -1;
  let count = 0;
  values.forEach((value, i) => {
    if (value === 0 || Number.isNaN(value)) return;
    count++;
    if (index < 0 || Math.abs(value) > Math.abs(values[index]!)) index = i;
  });
  return { index, count };
}

function others(count: number): string {
  return count > 1 ? ` (and ${countOf(count - 1, 'more channel', 'more channels')})` : '';
}
