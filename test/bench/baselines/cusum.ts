// Two-sided tabular CUSUM of one channel (Page, Biometrika 41, 1954; in the form of the NIST/SEMATECH e-Handbook 6.3.2.3).
// Signals when a sum passes the limit strictly; the sums then start anew. All in the data's own units.

export interface CusumOptions {
  readonly target: number;
  /** Reference value: half the shift to be found. */
  readonly allowance: number;
  readonly limit: number;
}

export class Cusum {
  high = 0;
  low = 0;
  /** Samples since the sum that is leading was last zero: the change began that many samples ago. */
  sinceZero = 0;
  readonly #options: CusumOptions;
  #highRun = 0;
  #lowRun = 0;

  constructor(options: CusumOptions) {
    this.#options = options;
  }

  /** True on a signal. A missing value leaves the sums alone. */
  push(value: number): boolean {
    if (Number.isNaN(value)) return false;
    const { target, allowance, limit } = this.#options;
    this.high = Math.max(0, this.high + value - target - allowance);
    this.low = Math.max(0, this.low + target - allowance - value);
    this.#highRun = this.high > 0 ? this.#highRun + 1 : 0;
    this.#lowRun = this.low > 0 ? this.#lowRun + 1 : 0;
    const signal = this.high > limit || this.low > limit;
    this.sinceZero = this.high > this.low ? this.#highRun : this.#lowRun;
    return signal;
  }

  reset(): void {
    this.high = 0;
    this.low = 0;
    this.#highRun = 0;
    this.#lowRun = 0;
  }
}

/**
 * Mean run length of a two-sided CUSUM in normal noise of deviation 1 without a shift (Siegmund, Sequential Analysis,
 * 1985, with the correction 1.166 for overshoot); good to about one in a hundred.
 */
export function cusumRunLength(allowance: number, limit: number): number {
  const b = limit + 1.166;
  const delta = -allowance;
  const oneSided = (Math.exp(-2 * delta * b) + 2 * delta * b - 1) / (2 * delta * delta);
  return oneSided / 2;
}

/** The limit that gives a mean run length, by bisection. */
export function cusumLimit(allowance: number, runLength: number): number {
  let [low, high] = [0, 200];
  while (high - low > 1e-9) {
    const middle = (low + high) / 2;
    if (cusumRunLength(allowance, middle) < runLength) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
