// Units of derived expressions, as products of powers of the spellings the file uses. Values are taken as they stand in
// the file, so nm and um are two units that may not be added, however alike their dimension.

/** Spelling -> exponent; empty means a plain number. `bare` marks a literal, which takes the unit of what it meets. */
export interface SpelledUnit {
  readonly powers: ReadonlyMap<string, number>;
  readonly bare: boolean;
}

export const plainNumber: SpelledUnit = { powers: new Map(), bare: false };
export const literal: SpelledUnit = { powers: new Map(), bare: true };

/** `um/m` counts as one spelling: it is microstrain and does not cancel against metres. */
export function spelledUnit(spelling: string): SpelledUnit {
  return spelling === '' ? plainNumber : { powers: new Map([[spelling, 1]]), bare: false };
}

export function multiplied(a: SpelledUnit, b: SpelledUnit, sign: 1 | -1): SpelledUnit {
  const powers = new Map(a.powers);
  for (const [spelling, power] of b.powers) {
    const sum = (powers.get(spelling) ?? 0) + sign * power;
    if (sum === 0) powers.delete(spelling);
    else powers.set(spelling, sum);
  }
  return { powers, bare: a.bare && b.bare };
}

export function raised(a: SpelledUnit, exponent: number): SpelledUnit {
  return { powers: new Map([...a.powers].map(([spelling, power]) => [spelling, power * exponent])), bare: a.bare };
}

/** The unit of a sum, or undefined where the two may not be added. A difference of two deg_C is in K. */
export function added(a: SpelledUnit, b: SpelledUnit, sign: 1 | -1): SpelledUnit | undefined {
  if (a.bare) return b;
  if (b.bare) return a;
  const [left, right] = [unitText(a), unitText(b)];
  if (left === 'deg_C' && right === 'deg_C' && sign < 0) return spelledUnit('K');
  if (left === 'deg_C' && right === 'K') return a;
  if (left === 'K' && right === 'deg_C' && sign > 0) return b;
  return left === right ? a : undefined;
}

export function isPlain(unit: SpelledUnit): boolean {
  return unit.powers.size === 0;
}

/** As ECSV writes it: `nm`, `nm2`, `1/K`, `nm/GHz`; '' for a plain number. */
export function unitText({ powers }: SpelledUnit): string {
  const part = ([spelling, power]: [string, number]): string => {
    const whole = spelling.includes('/') && powers.size + Math.abs(power) > 2 ? `(${spelling})` : spelling;
    const size = Math.abs(power);
    return size === 1 ? whole : `${whole}^${size}`;
  };
  const above = [...powers].filter(([, power]) => power > 0).map(part);
  const below = [...powers].filter(([, power]) => power < 0).map(part);
  if (below.length === 0) return above.join(' ');
  const denominator = below.length === 1 ? below[0]! : `(${below.join(' ')})`;
  return `${above.length === 0 ? '1' : above.join(' ')}/${denominator}`;
}
