// One observation taken into a running covariance. Done nearly as often as a look; for the usual three to five components
// the loops are written out, in the order of the loops, so that both give the same to the last bit.

/** How an observation counts; one object, reused, since numbers handed over singly would each be put on the heap. */
export interface Shares {
  /** By how much the products count, and how far the covariance goes towards them. */
  trust: number;
  gain: number;
}

/** `covariance` (lower triangle, row by row) goes from itself towards the products of `value`. */
export function learnMoments(covariance: Float64Array, value: Float64Array, dimension: number, shares: Shares): void {
  if (dimension === 5) learnFive(covariance, value, shares);
  else if (dimension === 4) learnFour(covariance, value, shares);
  else if (dimension === 3) learnThree(covariance, value, shares);
  else learnAny(covariance, value, dimension, shares);
}

/** The plain form, for any number of components. */
export function learnAny(c: Float64Array, value: Float64Array, dimension: number, { trust, gain }: Shares): void {
  for (let i = 0, row = 0; i < dimension; i++, row += dimension) {
    const v = value[i]! * trust * gain;
    for (let j = 0; j <= i; j++) c[row + j]! += v * value[j]! - gain * c[row + j]!;
  }
}

function learnThree(c: Float64Array, value: Float64Array, { trust, gain }: Shares): void {
  const x0 = value[0]!;
  const x1 = value[1]!;
  const x2 = value[2]!;
  const v1 = x1 * trust * gain;
  const v2 = x2 * trust * gain;
  c[0]! += x0 * trust * gain * x0 - gain * c[0]!;
  c[3]! += v1 * x0 - gain * c[3]!;
  c[4]! += v1 * x1 - gain * c[4]!;
  c[6]! += v2 * x0 - gain * c[6]!;
  c[7]! += v2 * x1 - gain * c[7]!;
  c[8]! += v2 * x2 - gain * c[8]!;
}

function learnFour(c: Float64Array, value: Float64Array, { trust, gain }: Shares): void {
  const x0 = value[0]!;
  const x1 = value[1]!;
  const x2 = value[2]!;
  const x3 = value[3]!;
  const v1 = x1 * trust * gain;
  const v2 = x2 * trust * gain;
  const v3 = x3 * trust * gain;
  c[0]! += x0 * trust * gain * x0 - gain * c[0]!;
  c[4]! += v1 * x0 - gain * c[4]!;
  c[5]! += v1 * x1 - gain * c[5]!;
  c[8]! += v2 * x0 - gain * c[8]!;
  c[9]! += v2 * x1 - gain * c[9]!;
  c[10]! += v2 * x2 - gain * c[10]!;
  c[12]! += v3 * x0 - gain * c[12]!;
  c[13]! += v3 * x1 - gain * c[13]!;
  c[14]! += v3 * x2 - gain * c[14]!;
  c[15]! += v3 * x3 - gain * c[15]!;
}

function learnFive(c: Float64Array, value: Float64Array, { trust, gain }: Shares): void {
  const x0 = value[0]!;
  const x1 = value[1]!;
  const x2 = value[2]!;
  const x3 = value[3]!;
  const x4 = value[4]!;
  const v1 = x1 * trust * gain;
  const v2 = x2 * trust * gain;
  const v3 = x3 * trust * gain;
  const v4 = x4 * trust * gain;
  c[0]! += x0 * trust * gain * x0 - gain * c[0]!;
  c[5]! += v1 * x0 - gain * c[5]!;
  c[6]! += v1 * x1 - gain * c[6]!;
  c[10]! += v2 * x0 - gain * c[10]!;
  c[11]! += v2 * x1 - gain * c[11]!;
  c[12]! += v2 * x2 - gain * c[12]!;
  c[15]! += v3 * x0 - gain * c[15]!;
  c[16]! += v3 * x1 - gain * c[16]!;
  c[17]! += v3 * x2 - gain * c[17]!;
  c[18]! += v3 * x3 - gain * c[18]!;
  c[20]! += v4 * x0 - gain * c[20]!;
  c[21]! += v4 * x1 - gain * c[21]!;
  c[22]! += v4 * x2 - gain * c[22]!;
  c[23]! += v4 * x3 - gain * c[23]!;
  c[24]! += v4 * x4 - gain * c[24]!;
}
