// The units of mathjs over plain numbers. Its usual assembly also brings matrices, fractions, complex and long numbers,
// which no header needs and which take longer to set up than a header takes to read; here its class of units is given
// the arithmetic of JavaScript in their place. For plain numbers both are the same arithmetic, so results are too.
// The only file that imports mathjs for the header.
import { createUnitClass } from 'mathjs';
import type { Unit } from 'mathjs';

interface UnitClass {
  /** @throws SyntaxError for what is no unit, or an unknown one. */
  parse(text: string, options: { readonly allowNoUnits: boolean }): Unit;
}

declare module 'mathjs' {
  // The package's types leave its factories out.
  export function createUnitClass(parts: Readonly<Record<string, unknown>>): UnitClass;
}

/** A size that mathjs writes as a fraction, as five ninths for degrees Fahrenheit. */
class Quotient {
  readonly isFraction = true;
  readonly value: number;

  constructor(above: number, below: number) {
    this.value = above / below;
  }

  valueOf(): number {
    return this.value;
  }
}

function makeUnits(): UnitClass {
  return createUnitClass({
    config: { number: 'number' },
    addScalar: (a: number, b: number) => a + b,
    subtractScalar: (a: number, b: number) => a - b,
    multiplyScalar: (a: number, b: number) => a * b,
    divideScalar: (a: number, b: number) => a / b,
    pow: Math.pow,
    abs: Math.abs,
    fix: Math.trunc,
    round: Math.round,
    equal: Object.is,
    isNumeric: (value: unknown) => typeof value === 'number',
    format: String,
    number: Number,
    // Imaginary sizes (reactive power) have no place in a header: what comes of them is no finite number.
    Complex: { I: NaN },
    BigNumber: Number,
    Fraction: Quotient,
  });
}

let units: UnitClass | undefined;

/** A number and its unit, or a unit's reciprocal as `1/K`; undefined for what mathjs does not know. */
export function parsedUnit(text: string): Unit | undefined {
  units ??= makeUnits();
  try {
    return units.parse(text, { allowNoUnits: true });
  } catch {
    return undefined;
  }
}
