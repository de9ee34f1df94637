// Location, noise and slope of a short series that may hold outliers and gaps (NaN). In the unit of the values.

/** Mean of what is left after the lowest and the highest fifth are cut off (Tukey 1962); NaN for no value. */
export function trimmedMean(values: ArrayLike<number>): number {
  const sorted = finite(values).sort();
  const cut = Math.floor(sorted.length / 5);
  return mean(sorted.subarray(cut, sorted.length - cut));
}

/**
 * Mean square of the three quarters of a normal variable's values that are smallest, in units of its variance:
 * 1 - 2 q phi(q) / 0.75 with q the 87.5 % point.
 */
const innerThreeQuarters = 1 - (2 * 1.1503493803760079 * 0.20585353017164368) / 0.75;

/**
 * Standard deviation of one value's noise, from the differences of neighbours so that drift does not count, and from the
 * three quarters of them that are smallest so that steps and spikes do not. Not less than the rounding of the readings
 * makes it, a step of theirs over sqrt 12. NaN for fewer than four differences, and where no reading ever changes: the noise
 * is then below a step that these readings do not show.
 */
export function differenceNoise(values: ArrayLike<number>): number {
  return laggedNoise(values, 1);
}

/** The longest memory that a window of 60 rows can tell from a drift: 20 of them, by which a correlation falls to 1/e. */
const mostCorrelation = Math.exp(-1 / 20);

/**
 * Correlation of the noise of neighbouring values, by how much more those two apart differ: 1 - r to 1 - r square, where noise
 * is of first order. So a drift hardly counts, nor do steps and spikes. That of 20 values' memory at most, and below 0 by chance,
 * so that a mean of several is right; NaN where noise is unknown.
 */
export function lagOneCorrelation(values: ArrayLike<number>): number {
  const ratio = laggedNoise(values, 2) / laggedNoise(values, 1);
  return Math.min(mostCorrelation, ratio ** 2 - 1);
}

/** Standard deviation of the difference of values so many apart, over the square root of 2. */
function laggedNoise(values: ArrayLike<number>, lag: number): number {
  const differences = new Float64Array(Math.max(0, values.length - lag));
  for (let i = lag; i < values.length; i++) differences[i - lag] = values[i]! - values[i - lag]!;
  const known = finite(differences).sort();
  if (known.length < 4) return NaN;
  const middle = 0.5 * (known[(known.length - 1) >> 1]! + known[known.length >> 1]!);
  const squares = known.map((d) => (d - middle) ** 2).sort();
  const kept = squares.subarray(0, Math.ceil(0.75 * squares.length));
  const step = known.reduce((least, d) => (d !== 0 ? Math.min(least, Math.abs(d)) : least), Infinity);
  if (step === Infinity) return NaN;
  return Math.max(step / Math.sqrt(12), Math.sqrt(mean(kept) / innerThreeQuarters / 2));
}

/** Change from the first to the last value of a series: last fifth's trimmed mean minus the first's, times 5/4. */
export function drift(values: ArrayLike<number>): number {
  const known = finite(values);
  const fifth = Math.floor(known.length / 5);
  if (fifth < 1) return NaN;
  return 1.25 * (trimmedMean(known.subarray(known.length - fifth)) - trimmedMean(known.subarray(0, fifth)));
}

/** Largest difference between the means of `width` neighbouring values before and after any place; 0 if too short. */
export function largestStep(values: ArrayLike<number>, width: number): number {
  const known = finite(values);
  let before = 0;
  let after = 0;
  let largest = 0;
  for (let i = 0; i < known.length; i++) {
    after += known[i]!;
    if (i >= width) {
      after -= known[i - width]!;
      before += known[i - width]!;
    }
    if (i >= 2 * width) before -= known[i - 2 * width]!;
    if (i >= 2 * width - 1 && Math.abs(after - before) > Math.abs(largest)) largest = after - before;
  }
  return largest / width;
}

function finite(values: ArrayLike<number>): Float64Array {
  return Float64Array.from(values).filter((v) => Number.isFinite(v));
}

function mean(values: Float64Array): number {
  let sum = 0;
  for (const value of values) sum += value;
  return values.length > 0 ? sum / values.length : NaN;
}
