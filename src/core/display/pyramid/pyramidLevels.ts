// What a display pyramid is to those who read, keep or check it; pyramid.ts builds it.

/** Everything a builder knows, as plain data: for an index file or another thread. Chunks are shared, not copied. */
export interface PyramidState {
  readonly bucketRows: number;
  readonly rows: number;
  /** Per series: pi for an axial series in radians, 0 for a plain one. */
  readonly periods: readonly number[];
  readonly bases: Float64Array;
  /** Of the open bucket, per series: extremes, rows where they stand, last value seen. */
  readonly low: Float64Array;
  readonly high: Float64Array;
  readonly lowAt: Int32Array;
  readonly highAt: Int32Array;
  readonly previous: Float64Array;
  /** Per level its chunks; a chunk is [series][bucket in chunk][two extremes]. */
  readonly levels: readonly (readonly Float32Array[])[];
  readonly counts: readonly number[];
}

/** Reads one series of a pyramid; stays live while the builder grows. Series of several builders can be mixed. */
export interface SeriesLevels {
  readonly rows: number;
  readonly bucketRows: number;
  readonly period: number;
  /** Whole buckets on a level; 0 where the level does not exist yet. */
  buckets(level: number): number;
  /** Extremes in order of occurrence into out[0] and out[1], NaN where every reading is missing. On level 0 the bucket
   * after the last whole one is the open one. */
  extremes(level: number, bucket: number, out: Float64Array): void;
}

export type Pyramid = readonly SeriesLevels[];
