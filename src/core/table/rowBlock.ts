// A block of consecutive accepted rows as columns. The block is reused: whoever keeps a value copies it.

export interface RowBlock {
  /** Number of rows in use, from 0. */
  rows: number;
  /** Index of row 0 of this block among all accepted rows of the log. */
  firstRow: number;
  /**
   * One array per column of the header, capacity >= rows, in the file's own units; NaN where a reading is missing.
   * `time` is in seconds (ISO stamps: seconds since the first row's stamp); `phase` is an index into `phases`;
   * other text columns are NaN.
   */
  readonly columns: readonly Float64Array[];
  /** 1-based line of each row. */
  readonly lines: Float64Array;
  /** Byte offset of the start of each row's line in the file. */
  readonly offsets: Float64Array;
}

/** A log with more columns than this is refused, so that a block stays within some mebibytes. */
export const mostColumns = 131_072;
