// Gathers the two extremes of a stretch of rows, in order of occurrence, from pairs of a pyramid and from single values.
// Plain series compare numbers, the first of equals standing; axial ones widen an arc (see arcs.ts). NaN adds nothing.
import { nearestTurn } from './arcs.ts';
import { fanOut } from './pyramid.ts';
import type { SeriesLevels } from './pyramidLevels.ts';

export class Extremes {
  readonly #period: number;
  #low = NaN;
  #high = NaN;
  #lowAt = 0;
  #highAt = 0;
  #seen = 0;

  constructor(period: number) {
    this.#period = period;
  }

  /** The middle of what was gathered, NaN where nothing was. */
  get middle(): number {
    return (this.#low + this.#high) / 2;
  }

  get first(): number {
    return this.#lowAt <= this.#highAt ? this.#low : this.#high;
  }

  get second(): number {
    return this.#lowAt <= this.#highAt ? this.#high : this.#low;
  }

  reset(): void {
    this.#low = NaN;
    this.#high = NaN;
    this.#lowAt = 0;
    this.#highAt = 0;
    this.#seen = 0;
  }

  add(value: number): void {
    if (Number.isNaN(value)) return;
    this.#widen(this.#period > 0 ? this.#turn(value) : value);
    if (this.#period > 0 && this.#high - this.#low > this.#period) this.#cut();
  }

  /** A pair of extremes in order of occurrence; for an axial series the ends of one arc. */
  addPair(first: number, second: number): void {
    if (Number.isNaN(first)) return;
    const shift = this.#period > 0 ? this.#turn((first + second) / 2) - (first + second) / 2 : 0;
    this.#widen(first + shift);
    this.#widen(second + shift);
    if (this.#period > 0 && this.#high - this.#low > this.#period) this.#cut();
  }

  /** Whole buckets [from, to) of level 0, taken from the highest levels that fit. */
  addBuckets(levels: SeriesLevels, from: number, to: number, scratch: Float64Array): void {
    for (let bucket = from; bucket < to;) {
      let level = 0;
      let span = 1;
      while (
        bucket % (span * fanOut) === 0 &&
        bucket + span * fanOut <= to &&
        bucket / (span * fanOut) < levels.buckets(level + 1)
      ) {
        level++;
        span *= fanOut;
      }
      levels.extremes(level, bucket / span, scratch);
      this.addPair(scratch[0]!, scratch[1]!);
      bucket += span;
    }
  }

  #widen(value: number): void {
    this.#seen++;
    if (!(value >= this.#low)) {
      this.#low = value;
      this.#lowAt = this.#seen;
    }
    if (!(value <= this.#high)) {
      this.#high = value;
      this.#highAt = this.#seen;
    }
  }

  #turn(value: number): number {
    return Number.isNaN(this.#low) ? value : nearestTurn(value, this.middle, this.#period);
  }

  /** Wider than a period means 'every direction': keep one period about the middle. */
  #cut(): void {
    const middle = this.middle;
    this.#low = middle - this.#period / 2;
    this.#high = middle + this.#period / 2;
  }
}

/** Lays directions side by side along time: each is turned to lie nearest to a slow mean of those before it, so that a
 * plot turns smoothly through 180 degrees and a noisy stretch cannot shift the rest by a whole period for good. */
export class DirectionTrace {
  readonly #period: number;
  #reference = NaN;

  constructor(period: number) {
    this.#period = period;
  }

  /** `middle` turned to its place; NaN leaves the trace as it is. */
  place(middle: number): number {
    if (Number.isNaN(middle)) return NaN;
    if (Number.isNaN(this.#reference)) this.#reference = middle - this.#period * Math.floor(middle / this.#period);
    const placed = nearestTurn(middle, this.#reference, this.#period);
    this.#reference += (placed - this.#reference) / 8;
    return placed;
  }
}
