// What is wrong with a number, a quantity or a unit, in words: missing or unknown units, wrong dimensions, limits, and
// values that are possible but more likely a slip.
import type { FieldNotes, Limits } from '../schema/field.ts';
import type { Finding } from '../problemList.ts';
import { dimensions, readQuantity, siOf } from '../units/quantity.ts';
import type { Dimension, QuantityResult, UnitResult } from '../units/quantity.ts';

/** Undefined where the value is in order, or no number nor quantity. */
export function valueFinding(notes: FieldNotes | undefined, value: unknown): Finding | undefined {
  if (!notes) return undefined;
  if (typeof value === 'number') {
    return notes.dimension
      ? undefined
      : (limitFinding(notes.limits, value, String(value)) ?? unusual(notes, value, String(value)));
  }
  if (typeof value !== 'string' || !notes.dimension) return undefined;
  const read = readQuantity(value, notes.dimension);
  return read.ok
    ? (limitFinding(notes.limits, read.si, value) ?? unusual(notes, read.si, value))
    : quantityFinding(value, read, notes, notes.dimension);
}

function limitFinding(limits: Limits | undefined, value: number, shown: string): Finding | undefined {
  if (!limits) return undefined;
  const { above = -Infinity, below = Infinity, from = -Infinity, size, code = 'out-of-range', remedy } = limits;
  const [least, most] = size ?? [0, Infinity];
  const sized = Math.abs(value) >= least && Math.abs(value) <= most;
  if (value > above && value < below && value >= from && sized && Number.isFinite(value)) return undefined;
  return { code, message: `${shown} cannot be right; ${remedy}` };
}

/** A value that is possible, but more likely a slip of unit or sign. */
function unusual({ usual, dimension }: FieldNotes, value: number, shown: string): Finding | undefined {
  if (!usual) return undefined;
  const [from, to] = usual.map((text) => (dimension ? siOf(text, dimension, NaN) : Number(text)));
  if (value >= from! && value <= to!) return undefined;
  return {
    severity: 'warning',
    code: 'value-unusual',
    message: `${shown} is unusual (usual: ${usual[0]} to ${usual[1]}); check its unit, sign and power of ten, and leave it if it is meant`,
  };
}

/** Why a text is no quantity of the dimension, and what to write. */
function quantityFinding(
  text: string,
  read: Exclude<QuantityResult, { ok: true }>,
  notes: FieldNotes,
  dimension: Dimension,
): Finding {
  if (!('unit' in read) && read.why === 'unit-missing')
    return unitMissing(text.trim(), { unit: dimensions[dimension].customary, ...notes, dimension });
  if (!('unit' in read)) {
    const commaFixed = text.replace(',', '.');
    const fixable = readQuantity(commaFixed, dimension).ok;
    return {
      code: 'quantity-syntax',
      message: `'${text}' is no quantity; write a number with a decimal point and a unit${notes.example ? `, for example ${notes.example}` : ''}`,
      ...(fixable ? { fix: { title: `Change to '${commaFixed}'`, newText: commaFixed } } : {}),
    };
  }
  return unitFinding(
    read.unit,
    read.unitResult,
    dimension,
    (unit) => text.slice(0, text.lastIndexOf(read.unit)) + unit,
  );
}

/** `per kelvin` and the like are adjectives of a value. */
function withArticle(dimension: Dimension): string {
  if (dimension.includes(' per ') || dimension.startsWith('per '))
    return `a value in ${dimensions[dimension].customary}`;
  return /^[aeiou]/.test(dimension) ? `an ${dimension}` : `a ${dimension}`;
}

/** What is wrong with a unit; `rewrite` gives the text that stands where the problem is marked, with another unit. */
export function unitFinding(
  unit: string,
  result: UnitResult,
  dimension: Dimension,
  rewrite: (unit: string) => string,
): Finding {
  if (!result.ok && result.why === 'dimension') {
    const found = result.found ? withArticle(result.found) : 'something else';
    return {
      code: 'unit-mismatch',
      message: `'${unit}' is ${found}, but ${withArticle(dimension)} is needed here; use a unit such as ${dimensions[dimension].customary}`,
    };
  }
  const near = result.ok ? undefined : result.suggestion;
  return {
    code: 'unit-unknown',
    message: `the unit '${unit}' is not known${near ? `; did you mean '${near}'?` : `; use ${dimensions[dimension].customary}`}`,
    ...(near ? { fix: { title: `Change to '${near}'`, newText: rewrite(near) } } : {}),
  };
}

export function unitMissing(number: string, { dimension, unit, meaning }: FieldNotes): Finding {
  const wanted = dimension ? withArticle(dimension) : 'a quantity';
  return {
    code: 'unit-missing',
    message: `${number} has no unit; write ${wanted} with its unit, for example '${number} ${unit}' (${meaning})`,
    ...(unit ? { fix: { title: `Read as ${number} ${unit}`, newText: `${number} ${unit}` } } : {}),
  };
}
