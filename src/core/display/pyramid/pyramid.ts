// Display pyramid: per series and bucket of rows its two extremes in order of occurrence, in levels that each fold 16
// buckets of the one below. Columns of any one unit go in, row block by row block; what comes out can be read at any
// moment, so a log is drawn while it is still being read. Rows are never kept.
// Storage is float32 relative to the series' first reading (a wavelength near 1550 nm would otherwise lose picometres),
// rounded outwards: a stored minimum never lies above the true one nor a maximum below, so no spike and no crossing of a
// threshold is lost. Axial series (directions) are folded as arcs; see arcs.ts. Idea of multi-level extremes: the
// min-max variant of M4 (Jugel et al., PVLDB 7(10), 2014).
import { foldIntoArc, nearestTurn } from './arcs.ts';
import { roundDown, roundUp } from './outwards.ts';
import type { Pyramid, PyramidState, SeriesLevels } from './pyramidLevels.ts';

/** Buckets folded into one on the next level. */
export const fanOut = 16;
/** Series above which chunks are short: a chunk of every level is begun at once, however short the log is. */
const manySeries = 2048;

/** Buckets per storage chunk: a level grows by whole chunks, never by copying. A power of `fanOut`. */
export function chunkBucketsFor(seriesCount: number): number {
  return seriesCount > manySeries ? fanOut : fanOut ** 2;
}

/** The finest bucket that keeps the pyramid within 0.12 byte per byte of log. */
export function bucketRowsFor(bytesPerRow: number, seriesCount: number): number {
  const bytesPerBucket = (8 * seriesCount * fanOut) / (fanOut - 1);
  const allowed = [16, 32, 64, 128, 256];
  return allowed.find((rows) => bytesPerBucket / rows <= 0.12 * bytesPerRow) ?? 256;
}

export class PyramidBuilder {
  readonly seriesCount: number;
  readonly bucketRows: number;
  readonly #chunkBuckets: number;
  readonly #periods: readonly number[];
  readonly #bases: Float64Array;
  readonly #low: Float64Array;
  readonly #high: Float64Array;
  readonly #lowAt: Int32Array;
  readonly #highAt: Int32Array;
  readonly #previous: Float64Array;
  readonly #levels: Float32Array[][] = [[]];
  readonly #counts: number[] = [0];
  #rows = 0;

  /** `periods`: per series pi for a direction in radians, else 0; left out where no series is a direction. */
  constructor(seriesCount: number, bucketRows: number, periods: readonly number[] = []) {
    this.seriesCount = seriesCount;
    this.bucketRows = bucketRows;
    this.#chunkBuckets = chunkBucketsFor(seriesCount);
    this.#periods = Array.from({ length: seriesCount }, (_, series) => periods[series] ?? 0);
    this.#bases = new Float64Array(seriesCount).fill(NaN);
    this.#low = new Float64Array(seriesCount).fill(Infinity);
    this.#high = new Float64Array(seriesCount).fill(-Infinity);
    this.#lowAt = new Int32Array(seriesCount);
    this.#highAt = new Int32Array(seriesCount);
    this.#previous = new Float64Array(seriesCount).fill(NaN);
  }

  get rows(): number {
    return this.#rows;
  }

  /** Takes rows 0 to `rows` of one column per series; they are rows `firstRow` onwards of the log, without a hole. */
  push(columns: readonly Float64Array[], rows: number, firstRow: number): void {
    if (firstRow !== this.#rows) throw new Error(`expected row ${this.#rows}, got ${firstRow}`);
    if (columns.length < this.seriesCount)
      throw new Error(`expected ${this.seriesCount} columns, got ${columns.length}`);
    const whole = Math.floor((firstRow + rows) / this.bucketRows);
    while (this.#levels[0]!.length * this.#chunkBuckets < whole) this.#levels[0]!.push(this.#newChunk());
    for (let series = 0; series < this.seriesCount; series++) {
      if (this.#periods[series]! > 0) this.#foldDirections(series, columns[series]!, rows);
      else this.#foldValues(series, columns[series]!, rows);
    }
    this.#rows += rows;
    this.#counts[0] = whole;
    for (let level = 0; this.#raise(level); level++);
  }

  /** One reader per series. May be called at any moment; the readers stay live. */
  finish(): Pyramid {
    return Array.from({ length: this.seriesCount }, (_, series) => this.#reader(series));
  }

  save(): PyramidState {
    return {
      bucketRows: this.bucketRows,
      rows: this.#rows,
      periods: this.#periods,
      bases: this.#bases,
      low: this.#low,
      high: this.#high,
      lowAt: this.#lowAt,
      highAt: this.#highAt,
      previous: this.#previous,
      levels: this.#levels,
      counts: [...this.#counts],
    };
  }

  /** A builder that continues where `state` was saved. The state's chunks are taken over. */
  static restore(state: PyramidState): PyramidBuilder {
    const builder = new PyramidBuilder(state.periods.length, state.bucketRows, state.periods);
    builder.#bases.set(state.bases);
    builder.#low.set(state.low);
    builder.#high.set(state.high);
    builder.#lowAt.set(state.lowAt);
    builder.#highAt.set(state.highAt);
    builder.#previous.set(state.previous);
    builder.#rows = state.rows;
    builder.#levels.splice(0, 1, ...state.levels.map((chunks) => [...chunks]));
    builder.#counts.splice(0, 1, ...state.counts);
    return builder;
  }

  /** The hot loop: one series, bucket by bucket, extremes in locals. Comparisons with NaN are false: it drops out. */
  #foldValues(series: number, column: Float64Array, rows: number): void {
    let low = this.#low[series]!;
    let high = this.#high[series]!;
    let lowAt = this.#lowAt[series]!;
    let highAt = this.#highAt[series]!;
    if (Number.isNaN(this.#bases[series]!)) this.#bases[series] = firstFinite(column, rows);
    const { bucketRows } = this;
    let inBucket = this.#rows % bucketRows;
    let bucket = (this.#rows - inBucket) / bucketRows;
    for (let row = 0; row < rows;) {
      const stop = Math.min(rows, row + bucketRows - inBucket);
      const shift = inBucket - row;
      for (; row < stop; row++) {
        const value = column[row]!;
        if (value < low) {
          low = value;
          lowAt = row + shift;
        }
        if (value > high) {
          high = value;
          highAt = row + shift;
        }
      }
      inBucket = row + shift;
      if (inBucket < bucketRows) break;
      this.#close(series, bucket++, low, high, lowAt <= highAt);
      low = Infinity;
      high = -Infinity;
      inBucket = 0;
    }
    this.#low[series] = low;
    this.#high[series] = high;
    this.#lowAt[series] = lowAt;
    this.#highAt[series] = highAt;
  }

  /** The same for a direction: each value is first turned by whole periods to lie nearest to the one before it. */
  #foldDirections(series: number, column: Float64Array, rows: number): void {
    const period = this.#periods[series]!;
    let low = this.#low[series]!;
    let high = this.#high[series]!;
    let lowAt = this.#lowAt[series]!;
    let highAt = this.#highAt[series]!;
    let before = this.#previous[series]!;
    this.#bases[series] = 0;
    const { bucketRows } = this;
    let inBucket = this.#rows % bucketRows;
    let bucket = (this.#rows - inBucket) / bucketRows;
    for (let row = 0; row < rows;) {
      const stop = Math.min(rows, row + bucketRows - inBucket);
      const shift = inBucket - row;
      for (; row < stop; row++) {
        let value = column[row]!;
        if (Number.isNaN(value)) continue;
        if (Math.abs(value - before) > period / 2) value = nearestTurn(value, before, period);
        before = value;
        if (value < low) {
          low = value;
          lowAt = row + shift;
        }
        if (value > high) {
          high = value;
          highAt = row + shift;
        }
      }
      inBucket = row + shift;
      if (inBucket < bucketRows) break;
      this.#close(series, bucket++, low, high, lowAt <= highAt);
      low = Infinity;
      high = -Infinity;
      before = NaN;
      inBucket = 0;
    }
    this.#low[series] = low;
    this.#high[series] = high;
    this.#lowAt[series] = lowAt;
    this.#highAt[series] = highAt;
    this.#previous[series] = before;
  }

  #close(series: number, bucket: number, low: number, high: number, lowFirst: boolean): void {
    const chunk = this.#levels[0]![Math.floor(bucket / this.#chunkBuckets)]!;
    const at = this.#slotOf(series, bucket);
    const base = this.#bases[series]!;
    const seen = low <= high;
    const down = seen ? roundDown(low - base) : NaN;
    const up = seen ? roundUp(high - base) : NaN;
    chunk[at] = lowFirst ? down : up;
    chunk[at + 1] = lowFirst ? up : down;
  }

  /** Builds the parents on `level + 1` that have become whole; false where there are none. */
  #raise(level: number): boolean {
    const parents = Math.floor(this.#counts[level]! / fanOut);
    if (parents === 0) return false;
    const chunks = (this.#levels[level + 1] ??= []);
    const done = (this.#counts[level + 1] ??= 0);
    while (chunks.length * this.#chunkBuckets < parents) chunks.push(this.#newChunk());
    for (let parent = done; parent < parents; parent++) {
      const from = this.#levels[level]![Math.floor((parent * fanOut) / this.#chunkBuckets)]!;
      const to = chunks[Math.floor(parent / this.#chunkBuckets)]!;
      for (let series = 0; series < this.seriesCount; series++) {
        const period = this.#periods[series]!;
        foldPairs(from, this.#slotOf(series, parent * fanOut), fanOut, period, to, this.#slotOf(series, parent));
      }
    }
    this.#counts[level + 1] = parents;
    return true;
  }

  #newChunk(): Float32Array {
    return new Float32Array(this.seriesCount * this.#chunkBuckets * 2);
  }

  #reader(series: number): SeriesLevels {
    const rows = (): number => this.#rows;
    return {
      get rows() {
        return rows();
      },
      bucketRows: this.bucketRows,
      period: this.#periods[series]!,
      buckets: (level) => this.#counts[level] ?? 0,
      extremes: (level, bucket, out) => this.#extremes(series, level, bucket, out),
    };
  }

  #extremes(series: number, level: number, bucket: number, out: Float64Array): void {
    if (level === 0 && bucket === this.#counts[0]) {
      const seen = this.#low[series]! <= this.#high[series]!;
      const lowFirst = this.#lowAt[series]! <= this.#highAt[series]!;
      out[lowFirst ? 0 : 1] = seen ? this.#low[series]! : NaN;
      out[lowFirst ? 1 : 0] = seen ? this.#high[series]! : NaN;
      return;
    }
    const chunk = this.#levels[level]?.[Math.floor(bucket / this.#chunkBuckets)];
    if (!chunk || bucket >= this.#counts[level]!) throw new Error(`no bucket ${bucket} on level ${level}`);
    const at = this.#slotOf(series, bucket);
    out[0] = this.#bases[series]! + chunk[at]!;
    out[1] = this.#bases[series]! + chunk[at + 1]!;
  }

  #slotOf(series: number, bucket: number): number {
    return (series * this.#chunkBuckets + (bucket % this.#chunkBuckets)) * 2;
  }
}

/** Folds `count` pairs from `at` on into one: its minimum and maximum, in order of occurrence. */
function foldPairs(
  from: Float32Array,
  at: number,
  count: number,
  period: number,
  to: Float32Array,
  slot: number,
): void {
  if (period > 0) {
    foldIntoArc(from, at, count, period, to, slot);
    return;
  }
  let low = NaN;
  let high = NaN;
  let lowAt = 0;
  let highAt = 0;
  for (let i = at; i < at + 2 * count; i++) {
    const value = from[i]!;
    if (Number.isNaN(value)) continue;
    if (!(value >= low)) {
      low = value;
      lowAt = i;
    }
    if (!(value <= high)) {
      high = value;
      highAt = i;
    }
  }
  to[slot] = lowAt <= highAt ? low : high;
  to[slot + 1] = lowAt <= highAt ? high : low;
}

function firstFinite(column: Float64Array, rows: number): number {
  for (let row = 0; row < rows; row++) if (Number.isFinite(column[row]!)) return column[row]!;
  return NaN;
}
