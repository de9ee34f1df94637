// Quantities as the header writes them (`30 mm`, `23.6e-6 1/K`) and column units (`nm`, `deg_C`, `um/m`), turned to SI.
// Units are spelled as ECSV spells them (VOUnit, as read by astropy); mathjs knows their sizes and dimensions.
import type { Unit } from 'mathjs';
import { nearest } from '../nearest.ts';
import { parsedUnit } from './unitLibrary.ts';

/** The dimensions a header knows, each with its SI unit and the unit customary in the trade. */
export const dimensions = {
  length: { si: 'm', customary: 'mm' },
  time: { si: 's', customary: 's' },
  angle: { si: 'rad', customary: 'deg' },
  temperature: { si: 'K', customary: 'deg_C' },
  frequency: { si: 'Hz', customary: 'GHz' },
  stress: { si: 'Pa', customary: 'MPa' },
  strain: { si: 'm/m', customary: 'um/m' },
  'per kelvin': { si: 'K^-1', customary: '1/K' },
  'frequency per kelvin': { si: 'Hz/K', customary: 'GHz/K' },
  'frequency per strain': { si: 'Hz', customary: 'GHz/(um/m)' },
} as const;

export type Dimension = keyof typeof dimensions;

/** SI value = reading * scale + offset. */
export interface UnitScale {
  readonly scale: number;
  readonly offset: number;
}

export type UnitResult =
  | ({ readonly ok: true } & UnitScale)
  | { readonly ok: false; readonly why: 'unknown'; readonly suggestion: string | undefined }
  | { readonly ok: false; readonly why: 'dimension'; readonly found: Dimension | undefined };

export type QuantityResult =
  | { readonly ok: true; readonly si: number; readonly value: number; readonly unit: string }
  | { readonly ok: false; readonly why: 'syntax' | 'unit-missing'; readonly value: number }
  | {
      readonly ok: false;
      readonly why: 'unknown' | 'dimension';
      readonly unit: string;
      readonly unitResult: UnitResult;
    };

const spellings = [
  ...['nm', 'pm', 'um', 'mm', 'cm', 'm', 's', 'ms', 'us', 'min', 'h', 'deg', 'rad', 'deg_C', 'K', '1/K', '1/deg_C'],
  ...['Hz', 'kHz', 'MHz', 'GHz', 'THz', 'GHz/K', 'MHz/K', 'GHz/(um/m)', 'Pa', 'kPa', 'MPa', 'GPa', 'um/m', 'nm/m'],
  ...['mm/m', 'm/m', '%', ''],
];

/** Spellings people use for units that ECSV spells otherwise; each has one right answer. */
const otherSpellings: Readonly<Record<string, string>> = {
  ...{ ustrain: 'um/m', microstrain: 'um/m', uE: 'um/m', ue: 'um/m', uɛ: 'um/m', uε: 'um/m', uS: 'um/m' },
  ...{
    '°': 'deg',
    degree: 'deg',
    degrees: 'deg',
    grad: 'deg',
    '°C': 'deg_C',
    degC: 'deg_C',
    C: 'deg_C',
    Celsius: 'deg_C',
  },
  ...{ celsius: 'deg_C', Kelvin: 'K', kelvin: 'K', k: 'K', sec: 's', second: 's', seconds: 's', hr: 'h', hour: 'h' },
  ...{ hours: 'h', micron: 'um', microns: 'um', µm: 'um', μm: 'um', ghz: 'GHz', Ghz: 'GHz', Mpa: 'MPa', Gpa: 'GPa' },
  ...{ '1/C': '1/K', '1/degC': '1/K', '1/°C': '1/K', '/K': '1/K', '/C': '1/K', 'K-1': '1/K', 'K^-1': '1/K' },
};

/** All spellings offered by completion for a dimension. */
export function unitSpellings(dimension: Dimension): string[] {
  return spellings.filter((spelling) => unitScale(spelling, dimension).ok && spelling !== '');
}

const scales = new Map<string, UnitResult>();

/** Size of a unit in SI, with its dimension checked; `deg_C` alone has an offset, inside a quotient it is a kelvin. */
export function unitScale(spelling: string, dimension: Dimension): UnitResult {
  const key = `${dimension} ${spelling}`;
  let result = scales.get(key);
  if (!result) {
    result = measure(spelling.trim(), dimension);
    if (scales.size < 1000) scales.set(key, result);
  }
  return result;
}

function measure(spelling: string, dimension: Dimension): UnitResult {
  if (spelling === '') return dimension === 'strain' ? { ok: true, scale: 1, offset: 0 } : unknown(spelling);
  if (spelling === '%') return dimension === 'strain' ? { ok: true, scale: 0.01, offset: 0 } : wrong('strain');
  if (spelling in otherSpellings) return unknown(spelling);
  const unit = parseUnit(spelling);
  if (!unit) return unknown(spelling);
  const { si } = dimensions[dimension];
  const found = dimensionOf(unit, spelling);
  if (found !== dimension) return wrong(found);
  if (spelling === 'deg_C') return { ok: true, scale: 1, offset: 273.15 };
  // Degrees Fahrenheit, too, count from elsewhere; in a product a degree is a difference.
  const temperature = dimension === 'temperature';
  const offset = temperature ? parseUnit(spelling, 0)!.toNumber(si) : 0;
  const scale = (temperature ? parseUnit(`${spelling} K/K`)! : unit).toNumber(si);
  return Number.isFinite(scale) ? { ok: true, scale, offset } : unknown(spelling);
}

function unknown(spelling: string): UnitResult {
  const plain = spelling.replace(/[µμ]/g, 'u').replace(/\s+/g, '');
  return {
    ok: false,
    why: 'unknown',
    suggestion: otherSpellings[plain] ?? otherSpellings[spelling] ?? nearest(plain, spellings),
  };
}

function wrong(found: Dimension | undefined): UnitResult {
  return { ok: false, why: 'dimension', found };
}

/** Strain cancels out of GHz/(um/m), so that unit is told from a plain frequency by its quotient. */
function dimensionOf(unit: Unit, spelling: string): Dimension | undefined {
  const names = Object.keys(dimensions) as Dimension[];
  const found = names.find((name) => unit.equalBase(parsedUnit(dimensions[name].si)!));
  return found === 'frequency' && spelling.includes('/') ? 'frequency per strain' : found;
}

/** Undefined where mathjs does not know the unit. Digits are allowed only as a leading `1/` and in powers. */
function parseUnit(spelling: string, amount = 1): Unit | undefined {
  if (!/^(1\s*\/\s*)?[A-Za-z(][A-Za-z_0-9 ()*/^-]*$/.test(spelling)) return undefined;
  const text = spelling.replace(/\bdeg_C\b/g, 'degC').replace(/\*\*/g, '^');
  return parsedUnit(spelling.startsWith('1') ? text : `${amount} ${text}`);
}

const numberAndUnit = /^\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*?)\s*$/;

/** Reads `30 mm`; the SI value is finite or the result is not ok. */
export function readQuantity(text: string, dimension: Dimension): QuantityResult {
  const match = numberAndUnit.exec(text);
  const value = match ? Number(match[1]) : NaN;
  if (!match || !Number.isFinite(value) || match[2]!.startsWith(',')) return { ok: false, why: 'syntax', value };
  const unit = match[2] ?? '';
  if (unit === '') return { ok: false, why: 'unit-missing', value };
  const result = unitScale(unit, dimension);
  if (!result.ok) return { ok: false, why: result.why, unit, unitResult: result };
  const si = value * result.scale + result.offset;
  return Number.isFinite(si) ? { ok: true, si, value, unit } : { ok: false, why: 'syntax', value };
}

/** The SI value of a quantity that has been checked already; `otherwise` where it is absent or faulty. */
export function siOf(text: unknown, dimension: Dimension, otherwise: number): number {
  const read = typeof text === 'string' ? readQuantity(text, dimension) : undefined;
  return read?.ok ? read.si : otherwise;
}
