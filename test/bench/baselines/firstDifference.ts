// The simplest alarm: the step from one sample to the next passes a fixed threshold (a Shewhart chart of first differences;
// Shewhart, Economic Control of Quality of Manufactured Product, 1931).
import { normalQuantile } from '../../../src/cli/simulation/random.ts';

export class FirstDifference {
  readonly #limit: number;
  #before = NaN;

  constructor(limit: number) {
    this.#limit = limit;
  }

  /** True on a signal. A missing value is passed over. */
  push(value: number): boolean {
    if (Number.isNaN(value)) return false;
    const step = value - this.#before;
    this.#before = value;
    return Math.abs(step) > this.#limit;
  }
}

/** The threshold that normal white noise passes once in `runLength` steps. */
export function differenceLimit(sigma: number, runLength: number): number {
  return -Math.SQRT2 * sigma * normalQuantile(0.5 / runLength);
}
