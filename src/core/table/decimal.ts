// Decimal text to a double, correct to the last bit. Up to 15 significant digits and a power of ten up to 22 need one
// multiplication or division of two exact doubles (W. D. Clinger, How to read floating point numbers accurately, 1990);
// the rest is left to the language.

const exactPowers = Float64Array.from({ length: 23 }, (_, k) => Number(`1e${k}`));

const PLUS = 43;
const MINUS = 45;
const POINT = 46;
const ZERO = 48;

/**
 * The number written in bytes [from, to): sign, digits, at most one point, exponent; nothing else (no blanks, no words,
 * no hexadecimal). `mark` is the byte of the decimal point. NaN where it is none; Infinity where it is beyond the range of a double.
 */
export function decimalNumber(bytes: Uint8Array, from: number, to: number, mark: number = POINT): number {
  let p = from;
  const negative = bytes[p] === MINUS;
  if (negative || bytes[p] === PLUS) p++;
  let mantissa = 0;
  let significant = 0;
  let zeros = 0; // zeros since the last other digit: they count only if another digit follows
  let digits = 0;
  let exponent = 0;
  let afterPoint = false;
  for (; p < to; p++) {
    const digit = bytes[p]! - ZERO;
    if (digit >= 0 && digit <= 9) {
      digits++;
      if (afterPoint) exponent--;
      if (digit === 0) {
        if (significant > 0) zeros++;
        continue;
      }
      significant += zeros + 1;
      if (significant <= 15) mantissa = mantissa * exactPowers[zeros + 1]! + digit;
      zeros = 0;
    } else if (bytes[p] === mark && !afterPoint) afterPoint = true;
    else break;
  }
  if (digits === 0) return NaN;
  exponent += zeros;
  if (p < to) {
    const written = exponentOf(bytes, p, to);
    if (Number.isNaN(written)) return NaN;
    exponent += written;
  }
  if (significant <= 15 && exponent >= -22 && exponent <= 22) {
    const value = exponent < 0 ? mantissa / exactPowers[-exponent]! : mantissa * exactPowers[exponent]!;
    return negative ? -value : value;
  }
  return Number(asciiText(bytes, from, to, mark));
}

function exponentOf(bytes: Uint8Array, from: number, to: number): number {
  let p = from;
  if (bytes[p] !== 69 && bytes[p] !== 101) return NaN;
  p++;
  const negative = bytes[p] === MINUS;
  if (negative || bytes[p] === PLUS) p++;
  if (p >= to) return NaN;
  let exponent = 0;
  for (; p < to; p++) {
    const digit = bytes[p]! - ZERO;
    if (digit < 0 || digit > 9) return NaN;
    if (exponent < 100_000) exponent = exponent * 10 + digit;
  }
  return negative ? -exponent : exponent;
}

function asciiText(bytes: Uint8Array, from: number, to: number, mark: number): string {
  let text = '';
  for (let p = from; p < to; p++) text += bytes[p] === mark ? '.' : String.fromCharCode(bytes[p]!);
  return text;
}
