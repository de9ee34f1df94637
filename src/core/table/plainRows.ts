// The hot loop of the scanner: rows of plain decimals (minus sign, digits, point; at most nine digits before and behind
// it, fifteen in all) and empty fields to doubles, and nothing else. It stops at the first thing that is not plain and
// leaves it to the scanner, which lets it go on behind. No call, no object and no string in the loop, so that the
// compiler keeps the checks of arrays outside it; measured, a plain loop beats reading four bytes as one word here.
// A plain decimal is a whole number below 10^15 over a power of ten: both exact as doubles, so that one division rounds
// correctly (W. D. Clinger, How to read floating point numbers accurately, 1990).

const LF = 10;
const CR = 13;
const MINUS = 45;
const ZERO = 48;
/** Matches no byte. */
export const noByte = 256;

/** Powers of ten, exact as doubles; from 16 on the same with a minus sign, which gives -0 its sign too. */
const powers = Float64Array.from({ length: 32 }, (_, k) => (k < 16 ? 10 ** k : -(10 ** (k - 16))));

/** Where reading is. */
export interface Cursor {
  /** The next byte: the start of a field. */
  position: number;
  /** First byte of the record. */
  recordStart: number;
  /** Row of the block that is being filled. */
  row: number;
  /** Column of the field at `position`. */
  column: number;
  /** Line on which the record begins. */
  line: number;
}

/** Arrays of a block: `values` holds its columns one after the other, `stride` apart. */
export interface RowMemory {
  readonly values: Float64Array;
  readonly stride: number;
  readonly lines: Float64Array;
  readonly offsets: Float64Array;
}

export interface PlainForm {
  readonly columns: number;
  /** Byte between fields; `noByte` where it is more than one byte: then no row is plain. */
  readonly delimiter: number;
  /** Byte of the decimal point; `noByte` where it is the delimiter too. */
  readonly point: number;
  readonly blockRows: number;
}

/**
 * Reads plain fields and rows from `cursor` on and moves it: to `end`, behind `blockRows` rows, to the field of column
 * `stop` of the first record, or to the start of a field that is not plain. `stops` holds for each column the first one
 * at or after it that must not be read here. bytes[end - 1] is a line break. `base` is the file offset of byte 0.
 */
export function readPlainRows(
  bytes: Uint8Array,
  end: number,
  base: number,
  cursor: Cursor,
  memory: RowMemory,
  form: PlainForm,
  firstStop: number,
  stop: number,
): void {
  const { values, stride, lines, offsets } = memory;
  const blockRows = form.blockRows;
  const delimiter = form.delimiter - ZERO;
  const point = form.point - ZERO;
  let { position: p, recordStart, row, line } = cursor;
  const lastStep = (form.columns - 1) * stride;
  let at = cursor.column * stride + row;
  let field = p;
  let stopAt = stop * stride + row;
  for (;;) {
    const lastAt = row + lastStep;
    let byte = 0;
    let value = NaN;
    while (at !== stopAt) {
      field = p;
      // 16 where there is a minus sign, without a branch that would often be guessed wrong.
      const sign = (((bytes[p]! ^ MINUS) - 1) >>> 31) << 4;
      p += sign >> 4;
      const first = p;
      let digit = bytes[p]! - ZERO;
      let mantissa = 0;
      // The first digits are written out: each has its own branch, which the processor guesses better.
      if (digit >>> 0 < 10) {
        mantissa = digit;
        digit = bytes[++p]! - ZERO;
        if (digit >>> 0 < 10) {
          mantissa = (Math.imul(mantissa, 10) + digit) | 0;
          digit = bytes[++p]! - ZERO;
          if (digit >>> 0 < 10) {
            mantissa = (Math.imul(mantissa, 10) + digit) | 0;
            digit = bytes[++p]! - ZERO;
            while (digit >>> 0 < 10) {
              mantissa = (Math.imul(mantissa, 10) + digit) | 0;
              digit = bytes[++p]! - ZERO;
            }
          }
        }
      }
      let digits = p - first;
      let scale = 0;
      let whole = 0;
      if (digit === point) {
        const pointAt = p;
        whole = mantissa;
        digit = bytes[++p]! - ZERO;
        if (digit >>> 0 < 10) {
          mantissa = (Math.imul(mantissa, 10) + digit) | 0;
          digit = bytes[++p]! - ZERO;
          if (digit >>> 0 < 10) {
            mantissa = (Math.imul(mantissa, 10) + digit) | 0;
            digit = bytes[++p]! - ZERO;
            while (digit >>> 0 < 10) {
              mantissa = (Math.imul(mantissa, 10) + digit) | 0;
              digit = bytes[++p]! - ZERO;
            }
          }
        }
        scale = p - pointAt - 1;
        digits += scale;
      }
      byte = digit;
      if ((digits - 1) >>> 0 < 9) value = mantissa / powers[sign | scale]!;
      else if (digits > 9 && digits < 16 && scale < 10 && digits - scale < 10) {
        // The mantissa has overflowed, but modulo 2^32 it still tells the fraction; the sum is below 10^15: exact.
        const fraction = (mantissa - Math.imul(whole, powers[scale]!)) | 0;
        value = (whole * powers[scale]! + fraction) / powers[sign | scale]!;
      } else if (p === field && byte === delimiter) value = NaN;
      else byte = noByte;
      if (byte !== delimiter || at === lastAt) break;
      values[at] = value;
      at += stride;
      p++;
    }
    if (at === stopAt) {
      field = p;
      break;
    }
    if (byte === CR - ZERO) byte = bytes[++p]! - ZERO;
    if (byte !== LF - ZERO || at !== lastAt) break;
    values[at] = value;
    lines[row] = line;
    offsets[row] = base + recordStart;
    row++;
    line++;
    p++;
    at = row;
    field = recordStart = p;
    stopAt = firstStop * stride + row;
    if (p >= end || row >= blockRows) break;
  }
  cursor.position = field;
  cursor.recordStart = recordStart;
  cursor.row = row;
  cursor.column = ((at - row) / stride) | 0;
  cursor.line = line;
}
