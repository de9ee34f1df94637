// The arithmetic of one look, which is done more often than anything else in the detection: the difference between the
// means of two blocks of running sums, and its whitened square. Cells mostly have three or four fibres with or without a
// temperature; for these the loops over components are written out, which is three times faster. The order of the
// additions is that of the loops, so both give the same to the last bit.

/** Where two neighbouring blocks lie in the running sums, by the offsets of their ends, and how they are weighed. */
export interface BlockPair {
  end: number;
  middle: number;
  start: number;
  /** One over the samples of the later block, and of the earlier one. */
  perLength: number;
  perBefore: number;
  /** Samples between the middles of the blocks. */
  apart: number;
}

/** Mean of the later block less that of the earlier one, trend taken off, per component into `out`. */
export function blockDifference(sums: Float64Array, pair: BlockPair, slope: Float64Array, out: Float64Array): void {
  const { end, middle, start, perLength, perBefore, apart } = pair;
  const dimension = slope.length;
  for (let j = 0; j < dimension; j++) {
    const m = sums[middle + j]!;
    out[j] = (sums[end + j]! - m) * perLength - (m - sums[start + j]!) * perBefore - slope[j]! * apart;
  }
}

/** Squared distance of `x`, counting components from `first` on, given those before it. `whitener`: lower triangle, row by row. */
export function whitenedSquare(whitener: Float64Array, x: Float64Array, dimension: number, first: number): number {
  switch (dimension) {
    case 3:
      return squareOfThree(whitener, x, first);
    case 4:
      return squareOfFour(whitener, x, first);
    case 5:
      return squareOfFive(whitener, x, first);
    default:
      return squareOfAny(whitener, x, dimension, first);
  }
}

/** The plain form, for any number of components. */
export function squareOfAny(whitener: Float64Array, x: Float64Array, dimension: number, first: number): number {
  let square = 0;
  for (let i = first, row = first * dimension; i < dimension; i++, row += dimension) {
    let w = 0;
    for (let j = 0; j <= i; j++) w += whitener[row + j]! * x[j]!;
    square += w * w;
  }
  return square;
}

function squareOfThree(whitener: Float64Array, x: Float64Array, first: number): number {
  const x0 = x[0]!;
  const x1 = x[1]!;
  const x2 = x[2]!;
  const w0 = first === 0 ? whitener[0]! * x0 : 0;
  const w1 = whitener[3]! * x0 + whitener[4]! * x1;
  const w2 = whitener[6]! * x0 + whitener[7]! * x1 + whitener[8]! * x2;
  return w0 * w0 + w1 * w1 + w2 * w2;
}

function squareOfFour(whitener: Float64Array, x: Float64Array, first: number): number {
  const x0 = x[0]!;
  const x1 = x[1]!;
  const x2 = x[2]!;
  const x3 = x[3]!;
  const w0 = first === 0 ? whitener[0]! * x0 : 0;
  const w1 = whitener[4]! * x0 + whitener[5]! * x1;
  const w2 = whitener[8]! * x0 + whitener[9]! * x1 + whitener[10]! * x2;
  const w3 = whitener[12]! * x0 + whitener[13]! * x1 + whitener[14]! * x2 + whitener[15]! * x3;
  return w0 * w0 + w1 * w1 + w2 * w2 + w3 * w3;
}

function squareOfFive(whitener: Float64Array, x: Float64Array, first: number): number {
  const x0 = x[0]!;
  const x1 = x[1]!;
  const x2 = x[2]!;
  const x3 = x[3]!;
  const x4 = x[4]!;
  const w0 = first === 0 ? whitener[0]! * x0 : 0;
  const w1 = whitener[5]! * x0 + whitener[6]! * x1;
  const w2 = whitener[10]! * x0 + whitener[11]! * x1 + whitener[12]! * x2;
  const w3 = whitener[15]! * x0 + whitener[16]! * x1 + whitener[17]! * x2 + whitener[18]! * x3;
  const w4 = whitener[20]! * x0 + whitener[21]! * x1 + whitener[22]! * x2 + whitener[23]! * x3 + whitener[24]! * x4;
  return w0 * w0 + w1 * w1 + w2 * w2 + w3 * w3 + w4 * w4;
}
