// Noise of first order (autoregressive: each sample remembers a share of the one before): what means of blocks do in it.

/**
 * Variance of the mean of `length` samples less that of the `before` samples before them, in units of half the mean square of
 * the difference of two neighbours. In white noise, of `correlation` 0, that is 1 / length + 1 / before.
 */
export function firstOrderVariance(
  { length, before }: { readonly length: number; readonly before: number },
  correlation: number,
): number {
  if (!(correlation > 0)) return 1 / length + 1 / before;
  const common = (2 * correlation * powers(length, correlation) * powers(before, correlation)) / (length * before);
  return (meanVariance(length, correlation) + meanVariance(before, correlation) - common) / (1 - correlation);
}

/** Of the mean of `n` samples, in units of that of one (Cochran 1946). */
function meanVariance(n: number, r: number): number {
  return (n * (1 + r) - 2 * r * powers(n, r)) / ((1 - r) * n * n);
}

/** 1 + r + ... + r to the n - 1. */
function powers(n: number, r: number): number {
  return (1 - r ** n) / (1 - r);
}
