// Where the edges of a drawing's pixel columns fall among a log's rows, found by halving in the pyramid of its times: to
// within a bucket or two, so that only the rows about an edge need be read again. Times in seconds, non-decreasing.
import type { SeriesLevels } from './pyramidLevels.ts';

/** The rows about one column edge. Rows before `from` lie before the edge, rows from `to` on lie at or after it. */
export interface Edge {
  readonly from: number;
  readonly to: number;
  /** First bucket not wholly before the edge, and first bucket wholly at or after it. */
  readonly reaching: number;
  readonly beyond: number;
}

/** Times of the column edges. The last lies a breath after toS, so that a row right at toS belongs to the last column. */
export function edgeTimes(fromS: number, toS: number, pixels: number): Float64Array {
  const bounds = Float64Array.from({ length: pixels + 1 }, (_, k) => fromS + ((toS - fromS) * k) / pixels);
  bounds[pixels] = toS + Math.max(Math.abs(toS), 1) * 2 ** -52;
  return bounds;
}

export function edgeAt(times: SeriesLevels, timeS: number, rows: number): Edge {
  const reaching = firstReaching(times, timeS, rows);
  const beyond = firstBeyond(times, timeS, rows);
  return {
    from: Math.max(0, Math.min(rows, reaching * times.bucketRows) - 1),
    to: Math.min(rows, beyond * times.bucketRows + 1),
    reaching,
    beyond,
  };
}

/** First bucket that holds, or by the rounding of its bounds might hold, a row at or after `timeS`. */
export function firstReaching(times: SeriesLevels, timeS: number, rows: number): number {
  return firstBucket(times, rows, (first, second) => Math.max(first, second) >= timeS);
}

/** First bucket all of whose rows are at or after `timeS`. */
function firstBeyond(times: SeriesLevels, timeS: number, rows: number): number {
  return firstBucket(times, rows, (first, second) => Math.min(first, second) >= timeS);
}

const pair = new Float64Array(2);

function firstBucket(times: SeriesLevels, rows: number, holds: (first: number, second: number) => boolean): number {
  let low = 0;
  let high = Math.ceil(rows / times.bucketRows);
  while (low < high) {
    const middle = (low + high) >> 1;
    times.extremes(0, middle, pair);
    if (holds(pair[0]!, pair[1]!)) high = middle;
    else low = middle + 1;
  }
  return low;
}
