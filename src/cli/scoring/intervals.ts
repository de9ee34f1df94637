// Confidence intervals for what was counted.
// Proportions: the score interval (Wilson, Journal of the American Statistical Association 22, 1927).
// Rates: exact for a Poisson count (Garwood, Biometrika 28, 1936).
// Medians: between order statistics, whatever the law of the values (Thompson, Annals of Mathematical Statistics 7, 1936).

export interface Interval {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

const z95 = 1.959963984540054;

/** Share `hits` of `trials` with its 95 % interval; NaN with bounds 0 and 1 where nothing was tried. */
export function proportion(hits: number, trials: number): Interval {
  if (trials === 0) return { value: NaN, low: 0, high: 1 };
  const share = hits / trials;
  const z2 = z95 * z95;
  const centre = (share + z2 / (2 * trials)) / (1 + z2 / trials);
  const half = (z95 / (1 + z2 / trials)) * Math.sqrt((share * (1 - share)) / trials + z2 / (4 * trials * trials));
  return {
    value: share,
    low: hits === 0 ? 0 : Math.max(0, centre - half),
    high: hits === trials ? 1 : Math.min(1, centre + half),
  };
}

/** `count` over `exposure` (any unit) with its exact 95 % interval, per unit of exposure; NaN without exposure. */
export function rate(count: number, exposure: number): Interval {
  if (!(exposure > 0)) return { value: NaN, low: 0, high: Infinity };
  const low = count === 0 ? 0 : poissonMean(count - 1, 0.975);
  const high = poissonMean(count, 0.025);
  return { value: count / exposure, low: low / exposure, high: high / exposure };
}

/** The mean at which a Poisson variable is at most `count` with the given probability; by bisection. */
function poissonMean(count: number, probability: number): number {
  let low = 0;
  let high = 2 * count + 20;
  for (let i = 0; i < 200 && high - low > 1e-12 * high; i++) {
    const middle = (low + high) / 2;
    if (poissonAtMost(count, middle) > probability) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

function poissonAtMost(count: number, mean: number): number {
  // In logarithms from the largest term, so that large counts do not underflow.
  let term = -mean;
  let sum = Math.exp(term);
  for (let k = 1; k <= count; k++) {
    term += Math.log(mean / k);
    sum += Math.exp(term);
  }
  return Math.min(1, sum);
}

/** Middle value, mean of the middle two; NaN of nothing. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}

/**
 * The median with its 95 % interval: from the j-th smallest value to the j-th largest, j the greatest for which a binomial
 * count of `values.length` halves is below j in at most 2.5 %. Without bounds below 6 values: not even their whole span does.
 */
export function medianInterval(values: readonly number[]): Interval {
  const sorted = [...values].sort((a, b) => a - b);
  const j = lowRank(sorted.length);
  const bounds = j > 0 ? { low: sorted[j - 1]!, high: sorted[sorted.length - j]! } : { low: -Infinity, high: Infinity };
  return { value: median(sorted), ...bounds };
}

/** 1-based rank of the lower bound among `n` values, 0 where even the smallest is not low enough. */
function lowRank(n: number): number {
  // In logarithms, so that a large n does not underflow.
  let term = -n * Math.LN2;
  let below = Math.exp(term);
  let rank = 0;
  while (rank < n && below <= 0.025) {
    rank++;
    term += Math.log((n - rank + 1) / rank);
    below += Math.exp(term);
  }
  return rank;
}
