// Whether a datum window may be called zero: each objection is one sentence with its number and the remedy's clue.
// The limits are judgement, not measurement science: a datum wrong by more than a few microstrain shifts every figure.
import { countOf } from '../display/numberFormat.ts';
import type { LogHeader } from '../header/logHeader.ts';
import type { DatumReport } from './datumReport.ts';
import { largestStep } from './robust.ts';

/** Where the header names no window: from the first row, for so long, and on until there are so many rows. */
export const defaultDatum = { seconds: 120, rows: 20, longestSeconds: 3600, mostRows: 20_000 } as const;

/** 3 K: with an expansion known to 5 % (24 um/m per K), compensation is then off by 3.5 um/m from end to end. */
export const datumLimits = {
  temperatureDriftK: 3,
  strainDrift: 20e-6,
  step: 10e-6,
  stepSigmas: 6,
  missing: 0.2,
} as const;

type Figures = Omit<DatumReport, 'fit' | 'reasons'>;
type Series = readonly (Float64Array | undefined)[];

export function datumReasons(header: LogHeader, figures: Figures, strain: Series, temperature: Series): string[] {
  if (figures.rows === 0) {
    const where = Number.isFinite(figures.fromS) ? ` from ${figures.fromS} s to ${figures.toS} s` : '';
    return [`The datum window${where} holds no rows; strain is shown against the resting readings of the header.`];
  }
  const reasons: string[] = [];
  if (figures.rows < defaultDatum.rows) {
    reasons.push(
      `The datum window holds only ${countOf(figures.rows, 'row', 'rows')}; ${defaultDatum.rows} are needed to know the noise.`,
    );
  }
  if (figures.temperatureDriftK > datumLimits.temperatureDriftK) {
    const drift = figures.temperatureDriftK.toFixed(1);
    reasons.push(`The temperature still moves by ${drift} K in the datum window; choose a later or steadier one.`);
  }
  reasons.push(...stepReasons(header, figures, strain));
  reasons.push(...missingReasons(header, [strain, temperature]));
  return reasons;
}

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
    const size = (steps[stepped.index]! * 1e6).toFixed(1);
    return [
      `Channel ${name(stepped.index)} steps by ${size} um/m inside the datum window${others(stepped.count)}; ` +
        'something happened there: choose another window.',
    ];
  }
  const drifted = worst(figures.drift.map((d) => (Math.abs(d) > datumLimits.strainDrift ? d : 0)));
  if (drifted.index < 0) return [];
  const size = (figures.drift[drifted.index]! * 1e6).toFixed(1);
  return [`Channel ${name(drifted.index)} drifts by ${size} um/m over the datum window${others(drifted.count)}.`];
}

function missingReasons(header: LogHeader, groups: readonly Series[]): string[] {
  const gaps = header.channels.map((_, i) => {
    const values = groups.map((group) => group[i]).find((v) => v !== undefined);
    if (!values || values.length === 0) return 0;
    const missing = values.reduce((count, value) => count + (Number.isNaN(value) ? 1 : 0), 0) / values.length;
    return missing > datumLimits.missing ? missing : 0;
  });
  const gap = worst(gaps);
  if (gap.index < 0) return [];
  const share = (gaps[gap.index]! * 100).toFixed(0);
  const channel = header.channels[gap.index]!.name;
  return [`Channel ${channel} has no usable reading in ${share} % of the datum window${others(gap.count)}.`];
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
