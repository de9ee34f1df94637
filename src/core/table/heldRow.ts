// Rows taken out of a block and put into another: what the gate holds back, as plain data.
import type { RowBlock } from './rowBlock.ts';

export interface HeldRow {
  values: number[];
  line: number;
  offset: number;
}

export function copyOf(held: HeldRow): HeldRow {
  return { ...held, values: [...held.values] };
}

export function moveRow(block: RowBlock, from: number, to: number): void {
  for (const column of block.columns) column[to] = column[from]!;
  block.lines[to] = block.lines[from]!;
  block.offsets[to] = block.offsets[from]!;
}

export function takeRow(block: RowBlock, row: number): HeldRow {
  return {
    values: block.columns.map((column) => column[row]!),
    line: block.lines[row]!,
    offset: block.offsets[row]!,
  };
}

/**
 * Puts `held` before the rows of `block`.
 * @throws RangeError where the block's arrays have no room for them.
 */
export function unshiftRows(block: RowBlock, held: readonly HeldRow[]): void {
  const count = held.length;
  if (count === 0) return;
  if (block.lines.length < block.rows + count)
    throw new RangeError(`block: got room for ${block.lines.length} rows, expected ${block.rows + count}`);
  for (const array of [...block.columns, block.lines, block.offsets]) array.copyWithin(count, 0, block.rows);
  held.forEach(({ values, line, offset }, row) => {
    block.columns.forEach((column, c) => (column[row] = values[c]!));
    block.lines[row] = line;
    block.offsets[row] = offset;
  });
  block.rows += count;
}
