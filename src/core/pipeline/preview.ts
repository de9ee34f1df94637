// A first look at a long log: rows sampled evenly over the file, found by seeking and taking the next whole line. Enough
// to draw the course of every series within a moment, before the file has been read; marked as sampled wherever shown.
import type { ByteSource } from '../table/byteSource.ts';
import { createScanner, gateOptions } from '../table/tableScanner.ts';
import type { RowBlock } from '../table/rowBlock.ts';
import { emptyBlock } from '../table/rowBlock.ts';
import type { LogBasis } from './logHead.ts';

/** Sampled rows; about one a pixel of a wide plot. */
export const previewRows = 1600;
/** Places read at a time: one after the other, a disk would be waited for at each. */
const readsAtOnce = 32;
const lineFeed = 10;

/** Rows in order of time; rows that cannot be read are left out. Lines are unknown (0). */
export async function sampleRows(source: ByteSource, basis: LogBasis, size: number, count: number): Promise<RowBlock> {
  const { header, bodyOffset, bytesPerRow } = basis;
  const block = emptyBlock(header.columns.length, count);
  const pieceBytes = Math.ceil(2.5 * bytesPerRow) + 64;
  const stride = (size - bodyOffset) / count;
  let lastOffset = -1;
  const scanner = createScanner(header, {
    blockRows: 1,
    startLine: 0,
    startOffset: 0,
    onBlock: (one) => appendRow(block, one, header.roles.time),
    onProblem: () => undefined,
  });
  const placeOf = (k: number): number => Math.floor(bodyOffset + k * stride);
  const take = (piece: Uint8Array, k: number): void => {
    const start = k === 0 ? 0 : piece.indexOf(lineFeed) + 1;
    const end = piece.indexOf(lineFeed, start) + 1;
    if (end <= start || placeOf(k) + start === lastOffset) return;
    lastOffset = placeOf(k) + start;
    scanner.push(piece.subarray(start, end));
    scanner.flush();
  };
  for (let first = 0; first < count; first += readsAtOnce) {
    const places = Array.from({ length: Math.min(readsAtOnce, count - first) }, (_, i) => placeOf(first + i));
    const read = (place: number): Promise<Uint8Array> => source.read(Math.max(bodyOffset, place - 1), pieceBytes);
    const pieces = await Promise.all(places.map(read));
    pieces.forEach((piece, i) => take(piece, first + i));
  }
  toSeconds(block, gateOptions(header));
  return block;
}

/** As the gate does it for rows in order; the first sample is the first row. */
function toSeconds(block: RowBlock, options: ReturnType<typeof gateOptions>): void {
  const time = block.columns[options.timeColumn]!;
  const origin = options.absoluteTime ? time[0]! : 0;
  for (let row = 0; row < block.rows; row++) time[row] = (time[row]! - origin) * options.timeScale;
}

/** Keeps a row that is later than the one before it. */
function appendRow(block: RowBlock, one: RowBlock, timeColumn: number): void {
  const at = block.rows;
  const time = one.columns[timeColumn]![0]!;
  if (Number.isNaN(time) || (at > 0 && time <= block.columns[timeColumn]![at - 1]!)) return;
  one.columns.forEach((column, c) => (block.columns[c]![at] = column[0]!));
  block.rows++;
}
