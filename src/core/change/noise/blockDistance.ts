// The arithmetic of one look, which is done more often than anything else in the detection: the difference between the
// means of two blocks of running sums, and its whitened square. Cells mostly have three or four fibres with or without a
// temperature; for these the loops over components are written out, which is twice as fast. The order of the operations
// is that of the loops, so both give the same to the last bit.

/**
 * Mean of a block of `length` samples less that of the `before` samples before it, trend taken off, per component; and
 * its squared distance, counting components from `first` on, given those before it. `end`, `middle` and `start` are where
 * the running sums of the blocks' ends lie in `sums`; `slope` is the trend per sample; `whitener` a lower triangle, row by
 * row. The difference goes to `out`, the squared distance to the element after it.
 */
export function lookAtBlocks(
  sums: Float64Array,
  slope: Float64Array,
  whitener: Float64Array,
  first: number,
  end: number,
  middle: number,
  start: number,
  length: number,
  before: number,
  out: Float64Array,
): void {
  const dimension = slope.length;
  if (dimension === 5) lookAtFive(sums, slope, whitener, first, end, middle, start, length, before, out);
  else if (dimension === 4) lookAtFour(sums, slope, whitener, first, end, middle, start, length, before, out);
  else if (dimension === 3) lookAtThree(sums, slope, whitener, first, end, middle, start, length, before, out);
  else lookAtAny(sums, slope, whitener, first, end, middle, start, length, before, out);
  if (first === 1) out[dimension] = leastSquare(whitener, out, dimension, out[dimension]!);
}

/** What it costs to take a difference of temperature for a real one, less its square in usual ones: odds of e to the half. */
const heatCost = 20;

/**
 * Component 0 is the temperature, and `given` the squared distance of the others given its difference. How they go with it
 * was learned mostly from the thermometer's noise, which taking temperature out puts into all of them. But the temperature
 * may have changed in truth, and what that does was taken out already: then they owe its difference nothing, and all that
 * noise is in them (Sherman & Morrison 1950, on the whitened components). The explanation that leaves less counts.
 */
export function leastSquare(
  whitener: Float64Array,
  difference: Float64Array,
  dimension: number,
  given: number,
): number {
  const own = whitener[0]!;
  const usual = difference[0]! * own;
  const cost = heatCost - usual * usual;
  if (given <= cost) return given;
  let square = 0;
  let along = 0;
  let weight = own * own;
  for (let i = 1, row = dimension; i < dimension; i++, row += dimension) {
    const byHeat = whitener[row]!;
    let w = 0;
    for (let j = 1; j <= i; j++) w += whitener[row + j]! * difference[j]!;
    square += w * w;
    along += byHeat * w;
    weight += byHeat * byHeat;
  }
  square -= (along * along) / weight;
  if (cost > 0) square += cost;
  return square < given ? square : given;
}

/** The plain form, for any number of components. */
export function lookAtAny(
  sums: Float64Array,
  slope: Float64Array,
  whitener: Float64Array,
  first: number,
  end: number,
  middle: number,
  start: number,
  length: number,
  before: number,
  out: Float64Array,
): void {
  const dimension = slope.length;
  const perLength = 1 / length;
  const perBefore = 1 / before;
  const apart = 0.5 * (length + before);
  for (let j = 0; j < dimension; j++) {
    const m = sums[middle + j]!;
    out[j] = (sums[end + j]! - m) * perLength - (m - sums[start + j]!) * perBefore - slope[j]! * apart;
  }
  let square = 0;
  for (let i = first, row = first * dimension; i < dimension; i++, row += dimension) {
    let w = 0;
    for (let j = 0; j <= i; j++) w += whitener[row + j]! * out[j]!;
    square += w * w;
  }
  out[dimension] = square;
}

function lookAtThree(
  sums: Float64Array,
  slope: Float64Array,
  whitener: Float64Array,
  first: number,
  end: number,
  middle: number,
  start: number,
  length: number,
  before: number,
  out: Float64Array,
): void {
  const a = 1 / length;
  const b = 1 / before;
  const apart = 0.5 * (length + before);
  const m0 = sums[middle]!;
  const m1 = sums[middle + 1]!;
  const m2 = sums[middle + 2]!;
  const x0 = (sums[end]! - m0) * a - (m0 - sums[start]!) * b - slope[0]! * apart;
  const x1 = (sums[end + 1]! - m1) * a - (m1 - sums[start + 1]!) * b - slope[1]! * apart;
  const x2 = (sums[end + 2]! - m2) * a - (m2 - sums[start + 2]!) * b - slope[2]! * apart;
  const w0 = first === 0 ? whitener[0]! * x0 : 0;
  const w1 = whitener[3]! * x0 + whitener[4]! * x1;
  const w2 = whitener[6]! * x0 + whitener[7]! * x1 + whitener[8]! * x2;
  out[0] = x0;
  out[1] = x1;
  out[2] = x2;
  out[3] = w0 * w0 + w1 * w1 + w2 * w2;
}

function lookAtFour(
  sums: Float64Array,
  slope: Float64Array,
  whitener: Float64Array,
  first: number,
  end: number,
  middle: number,
  start: number,
  length: number,
  before: number,
  out: Float64Array,
): void {
  const a = 1 / length;
  const b = 1 / before;
  const apart = 0.5 * (length + before);
  const m0 = sums[middle]!;
  const m1 = sums[middle + 1]!;
  const m2 = sums[middle + 2]!;
  const m3 = sums[middle + 3]!;
  const x0 = (sums[end]! - m0) * a - (m0 - sums[start]!) * b - slope[0]! * apart;
  const x1 = (sums[end + 1]! - m1) * a - (m1 - sums[start + 1]!) * b - slope[1]! * apart;
  const x2 = (sums[end + 2]! - m2) * a - (m2 - sums[start + 2]!) * b - slope[2]! * apart;
  const x3 = (sums[end + 3]! - m3) * a - (m3 - sums[start + 3]!) * b - slope[3]! * apart;
  const w0 = first === 0 ? whitener[0]! * x0 : 0;
  const w1 = whitener[4]! * x0 + whitener[5]! * x1;
  const w2 = whitener[8]! * x0 + whitener[9]! * x1 + whitener[10]! * x2;
  const w3 = whitener[12]! * x0 + whitener[13]! * x1 + whitener[14]! * x2 + whitener[15]! * x3;
  out[0] = x0;
  out[1] = x1;
  out[2] = x2;
  out[3] = x3;
  out[4] = w0 * w0 + w1 * w1 + w2 * w2 + w3 * w3;
}

function lookAtFive(
  sums: Float64Array,
  slope: Float64Array,
  whitener: Float64Array,
  first: number,
  end: number,
  middle: number,
  start: number,
  length: number,
  before: number,
  out: Float64Array,
): void {
  const a = 1 / length;
  const b = 1 / before;
  const apart = 0.5 * (length + before);
  const m0 = sums[middle]!;
  const m1 = sums[middle + 1]!;
  const m2 = sums[middle + 2]!;
  const m3 = sums[middle + 3]!;
  const m4 = sums[middle + 4]!;
  const x0 = (sums[end]! - m0) * a - (m0 - sums[start]!) * b - slope[0]! * apart;
  const x1 = (sums[end + 1]! - m1) * a - (m1 - sums[start + 1]!) * b - slope[1]! * apart;
  const x2 = (sums[end + 2]! - m2) * a - (m2 - sums[start + 2]!) * b - slope[2]! * apart;
  const x3 = (sums[end + 3]! - m3) * a - (m3 - sums[start + 3]!) * b - slope[3]! * apart;
  const x4 = (sums[end + 4]! - m4) * a - (m4 - sums[start + 4]!) * b - slope[4]! * apart;
  const w0 = first === 0 ? whitener[0]! * x0 : 0;
  const w1 = whitener[5]! * x0 + whitener[6]! * x1;
  const w2 = whitener[10]! * x0 + whitener[11]! * x1 + whitener[12]! * x2;
  const w3 = whitener[15]! * x0 + whitener[16]! * x1 + whitener[17]! * x2 + whitener[18]! * x3;
  const w4 = whitener[20]! * x0 + whitener[21]! * x1 + whitener[22]! * x2 + whitener[23]! * x3 + whitener[24]! * x4;
  out[0] = x0;
  out[1] = x1;
  out[2] = x2;
  out[3] = x3;
  out[4] = x4;
  out[5] = w0 * w0 + w1 * w1 + w2 * w2 + w3 * w3 + w4 * w4;
}
