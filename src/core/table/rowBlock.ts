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

/** The gate may hold back so many rows, and put them before those of the next block. */
export const mostHeldRows = 4;

/** Rows in a block so that it takes about a mebibyte, whatever the number of columns. */
export function blockRowsFor(columnCount: number): number {
  return Math.max(8 - mostHeldRows, Math.min(4096, Math.floor(131_072 / Math.max(1, columnCount))));
}

/** Most rows that the gate hands on at once of blocks of `blockRowsFor` rows. */
export function blockCapacityFor(columnCount: number): number {
  return blockRowsFor(columnCount) + mostHeldRows;
}

/** An empty block with room for `rows` rows and those that the gate may have held back. */
export function emptyBlock(
  columnCount: number,
  rows: number,
): RowBlock & { readonly values: Float64Array; readonly stride: number } {
  // An odd number of cache lines between columns, so that neighbouring columns do not fall on the same cache set.
  const stride = (Math.ceil((rows + mostHeldRows) / 8) | 1) * 8;
  const values = new Float64Array(stride * columnCount);
  return {
    rows: 0,
    firstRow: 0,
    columns: Array.from({ length: columnCount }, (_, c) => values.subarray(c * stride, (c + 1) * stride)),
    lines: new Float64Array(rows + mostHeldRows),
    offsets: new Float64Array(rows + mostHeldRows),
    values,
    stride,
  };
}
