// Decimal text to a double, correct to the last bit: the cheap way first, the exact one only where the cheap one cannot
// prove its result. Up to 15 significant digits and a power of ten up to 22 need one multiplication or division of two
// exact doubles (W. D. Clinger, How to read floating point numbers accurately, 1990). Up to 19 digits are worked out in
// double-double arithmetic (T. J. Dekker, A floating-point technique for extending the available precision, 1971), whose
// error bound tells whether the rounding is certain. The rest is left to the language.

const exactPowers = Float64Array.from({ length: 23 }, (_, k) => Number(`1e${k}`));
const largestExactPower = 22;

const PLUS = 43;
const MINUS = 45;
const POINT = 46;
const ZERO = 48;

/** Reads numbers; keeps where the last one ended, so that nobody has to look for the end before. */
export class DecimalReader {
  /** Behind the last byte that belonged to the number. */
  end = 0;
  readonly #mark: number;
  /** First 15 significant digits, the next 4, and how many digits those are. */
  #high = 0;
  #low = 0;
  #significant = 0;

  /** `mark` is the byte of the decimal point. */
  constructor(mark: number = POINT) {
    this.#mark = mark;
  }

  /**
   * The number that begins at `from`, as far as it goes but not beyond `limit`: sign, digits, at most one point, exponent;
   * no blanks, no words, no hexadecimal. NaN where there is none; Infinity where it is beyond the range of a double.
   */
  read(bytes: Uint8Array, from: number, limit: number): number {
    const negative = bytes[from] === MINUS;
    let exponent = this.#readDigits(bytes, negative || bytes[from] === PLUS ? from + 1 : from, limit);
    if (Number.isNaN(exponent)) return NaN;
    if (this.end < limit && (bytes[this.end]! | 32) === 101) exponent += this.#readExponent(bytes, limit);
    const value = this.#rounded(exponent);
    if (Number.isNaN(value)) return Number(asciiText(bytes, from, this.end, this.#mark));
    return negative ? -value : value;
  }

  /** Returns the power of ten that the digits read must be multiplied by; NaN where there is no digit. */
  #readDigits(bytes: Uint8Array, from: number, limit: number): number {
    const mark = this.#mark;
    let high = 0;
    let low = 0;
    let significant = 0;
    let pointAt = -1;
    let p = from;
    for (; p < limit; p++) {
      const digit = bytes[p]! - ZERO;
      if (digit >>> 0 < 10) {
        if (significant > 0 || digit > 0) significant++;
        if (significant <= 15) high = high * 10 + digit;
        else if (significant <= 19) low = low * 10 + digit;
      } else if (digit === mark - ZERO && pointAt < 0) pointAt = p;
      else break;
    }
    this.end = p;
    this.#high = high;
    this.#low = low;
    this.#significant = significant;
    if (p - from === (pointAt < 0 ? 0 : 1)) return NaN;
    return pointAt < 0 ? 0 : pointAt + 1 - p;
  }

  /** Reads the exponent at `end`, if what follows its letter is one; else the number ends before the letter. */
  #readExponent(bytes: Uint8Array, limit: number): number {
    let p = this.end + 1;
    const negative = bytes[p] === MINUS;
    if (negative || bytes[p] === PLUS) p++;
    let exponent = 0;
    const first = p;
    for (; p < limit; p++) {
      const digit = bytes[p]! - ZERO;
      if (digit >>> 0 >= 10) break;
      if (exponent < 100_000) exponent = exponent * 10 + digit;
    }
    if (p === first) return 0;
    this.end = p;
    return negative ? -exponent : exponent;
  }

  /** The digits read times ten to `exponent`; NaN where the cheap ways do not settle the last bit. */
  #rounded(exponent: number): number {
    const high = this.#high;
    const extra = this.#significant - 15;
    if (extra <= 0) {
      if (exponent < -largestExactPower || exponent > largestExactPower) return high === 0 ? 0 : NaN;
      return exponent < 0 ? high / exactPowers[-exponent]! : high * exactPowers[exponent]!;
    }
    if (extra > 4 || exponent < -largestExactPower || exponent > largestExactPower) return NaN;
    // high * 10^extra + low as the exact sum of two doubles.
    const shift = exactPowers[extra]!;
    const product = high * shift;
    const sum = product + this.#low;
    const rest = productError(high, shift, product) + (this.#low - (sum - product));
    const power = exactPowers[Math.abs(exponent)]!;
    if (exponent >= 0) {
      const value = sum * power;
      return certain(value, productError(sum, power, value) + rest * power);
    }
    const quotient = sum / power;
    const back = quotient * power;
    return certain(quotient, (sum - back - productError(quotient, power, back) + rest) / power);
  }
}

/** `value + correction` rounded, if an error of the correction as large as it can be changes nothing; else NaN. */
function certain(value: number, correction: number): number {
  // The correction comes from a handful of operations, each right to 2^-53 of terms no larger than 2^-51 of the value.
  const error = value * 2 ** -98;
  const least = value + (correction - error);
  return least === value + (correction + error) ? least : NaN;
}

/** a * b - product, exactly, for product = a * b rounded (Dekker's product with Veltkamp's splitting). */
function productError(a: number, b: number, product: number): number {
  const splitA = 134_217_729 * a;
  const highA = splitA - (splitA - a);
  const lowA = a - highA;
  const splitB = 134_217_729 * b;
  const highB = splitB - (splitB - b);
  const lowB = b - highB;
  return lowA * lowB - (product - highA * highB - lowA * highB - highA * lowB);
}

function asciiText(bytes: Uint8Array, from: number, to: number, mark: number): string {
  let text = '';
  for (let p = from; p < to; p++) text += bytes[p] === mark ? '.' : String.fromCharCode(bytes[p]!);
  return text;
}
