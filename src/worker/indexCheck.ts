// Whether a state from an index file can be the state of a log: its parts are all there and of the sizes that go with one
// another. A checksum tells damage; this tells a file that was made by something else. What fails is refused and made anew.
import { pyramidSeries } from '../core/pipeline/cellWork.ts';
import type { CellWorkState } from '../core/pipeline/cellWork.ts';
import type { LogBasis } from '../core/pipeline/logHead.ts';
import type { SessionState } from '../core/session.ts';
import { chunkBucketsFor, fanOut } from '../core/display/pyramid/pyramid.ts';
import type { PyramidState } from '../core/display/pyramid/pyramidLevels.ts';
import { rowsPerEntry } from '../core/table/lineIndex.ts';

/** `size`: bytes of the log that the state says it has read. */
export function fitsLog({ flow, shares, works, bucketRows }: SessionState, basis: LogBasis, size: number): boolean {
  const { rows, entries } = flow.index;
  const cells = shares.flatMap((share) => share.cells).sort((a, b) => a - b);
  return (
    flow.offset >= basis.bodyOffset &&
    flow.offset <= size &&
    isCount(rows) &&
    entries.length === 4 * Math.ceil(rows / rowsPerEntry) &&
    cells.length === basis.layouts.length &&
    cells.every((cell, i) => cell === i) &&
    works.length === shares.length &&
    works.every((work, i) => {
      const { header, layouts } = basis;
      const series = pyramidSeries(header, layouts, shares[i]!).length;
      return work.detectors.length === shares[i]!.cells.length && drawable(work, bucketRows, rows, series);
    })
  );
}

function drawable({ pyramid, watched }: CellWorkState, bucketRows: number, rows: number, series: number): boolean {
  if (bucketRows === 0) return !pyramid && !watched;
  if (!pyramid || !watched || pyramid.periods.length + watched.periods.length !== series) return false;
  return [pyramid, watched].every((one) => one.bucketRows === bucketRows && isPyramid(one, rows));
}

/** A pyramid of at most `rows` rows (the gate may hold some back), every level a sixteenth of the one below. */
function isPyramid({ rows, bucketRows, periods, levels, counts, ...open }: PyramidState, most: number): boolean {
  const perChunk = chunkBucketsFor(periods.length);
  const { bases, low, high, lowAt, highAt, previous } = open;
  return (
    isCount(rows) &&
    rows <= most &&
    counts.length === levels.length &&
    [bases, low, high, lowAt, highAt, previous].every(({ length }) => length === periods.length) &&
    levels.every((chunks, level) => {
      const buckets = level === 0 ? Math.floor(rows / bucketRows) : Math.floor(counts[level - 1]! / fanOut);
      return (
        counts[level] === buckets &&
        chunks.length * perChunk >= buckets &&
        chunks.every((chunk) => chunk.length === 2 * perChunk * periods.length)
      );
    })
  );
}

function isCount(value: number): boolean {
  return Number.isSafeInteger(value) && value >= 0;
}
