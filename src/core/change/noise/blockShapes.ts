// The block lengths that are tested, and what follows from them alone. Imports nothing, and plain numbers come first: so
// the bundler writes them out where they are used, which the inner loops need.

/** The short tests look at every so many samples, and between whenever the last sample stirs. */
const shortStride = 4;
/** Soon after a restart the block before may be short, but not shorter than this and the block tested. */
const shortestBefore = 3;
/** Independent observations that a covariance may be worth: by then Hotelling's law is within a tenth of chi-square. */
const memoryBlocks = 300;
/** A length's tail is learned once its covariance is worth this many observations of its own. */
export const matureWeight = 20;
/** Lengths from here on (16 and more) speak only when worth so many. */
export const firstLong = 5;
export const fitWeight = 15;
/** Lengths from here on have two shorter ones of the same kind before them: 2/8, 3/12, 5/15. */
export const firstChained = 4;
/** All looks that are in turn fall on samples whose count has none of these bits: on every second one. */
export const everyLook = 1;
/** The tests by which places of the layer are judged restless: 3 after 12, and 8 after 24. */
export const shortReference = 2;
export const longReference = 4;
/** They teach how truly layers repeat at samples whose count has none of these bits: at every eighth. */
export const fidelityMask = 7;
/** Memory of the scale: this many blocks with what goes before them. */
const scaleBlocks = 24;

export interface BlockShape {
  /** Samples of the block tested. */
  readonly length: number;
  /** Samples of the block before it. */
  readonly before: number;
  /** Looked at every so many samples: a power of two, as is its multiple that reaches the length. */
  readonly stride: number;
}

/**
 * Lengths grow by about half an octave where delay counts, by octaves later: a jump between two lengths loses at most
 * a fifth of its distance. The block before is longer, for power against white noise; the short pairs serve noise that
 * wanders. Long blocks are looked at once in a quarter of their length, by which the loss is at most 1/8.
 */
export const blockShapes: readonly BlockShape[] = [
  { length: 2, before: 8, stride: shortStride },
  { length: 3, before: 3, stride: shortStride },
  { length: 3, before: 12, stride: shortStride },
  { length: 5, before: 15, stride: shortStride },
  { length: 8, before: 24, stride: 2 },
  { length: 16, before: 32, stride: 4 },
  { length: 32, before: 64, stride: 8 },
  { length: 64, before: 128, stride: 16 },
];

/**
 * Independent looks per sample, so that white noise keeps its budget (test/core/change/budget.test.ts): there are two to
 * five looks per sample over all lengths, and overlapping blocks pass together.
 */
export const looksPerSample = 2.5;

/** What follows from a shape. */
export interface BlockPlan {
  readonly length: number;
  readonly before: number;
  /** Samples of both. */
  readonly span: number;
  /** Samples of the block before at least. */
  readonly leastBefore: number;
  /**
   * It is looked at when the count of samples has none of these bits, and learns when it has none of those: strides are
   * powers of two, and an observation is taken once per block length, in turn.
   */
  readonly lookMask: number;
  readonly learnMask: number;
  /** Variance of the difference in white noise of one. */
  readonly variance: number;
  readonly scaleGain: number;
  /** Worth of one observation in independent ones, and observations that a covariance may be worth. */
  readonly worth: number;
  readonly memory: number;
}

export const blockPlans: readonly BlockPlan[] = blockShapes.map((shape) => {
  const { length, before, stride } = shape;
  const worth = independent(shape);
  return {
    length,
    before,
    span: length + before,
    leastBefore: Math.min(before, Math.max(shortestBefore, length)),
    lookMask: stride - 1,
    learnMask: Math.ceil(length / stride) * stride - 1,
    variance: 1 / length + 1 / before,
    scaleGain: stride / (scaleBlocks * (length + before)),
    worth,
    memory: memoryBlocks / worth,
  };
});

/**
 * Worth of one observation, taken once per block length, in independent ones: blocks in a row share samples. For white
 * noise the covariance of n of them is known as well as from n / (1 + 2 sum of squared correlations).
 */
function independent({ length, before }: BlockShape): number {
  const variance = 1 / length + 1 / before;
  let sum = 1;
  for (let lag = length; lag < length + before; lag += length) {
    // Samples that the later block before shares with the earlier block, and with the earlier block before.
    const crossed = Math.max(0, Math.min(length, length + before - lag));
    const shared = Math.max(0, before - lag);
    const correlation = (shared / before ** 2 - crossed / (length * before)) / variance;
    sum += 2 * correlation ** 2;
  }
  return 1 / sum;
}
