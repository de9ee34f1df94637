// Small plots arranged as the cells lie on the plate: each cell gets a column and a row of a grid, in the order of its
// place, back of the plate on top. Cells whose x (or y) differ by less than half the usual spacing share a column (row).

export interface GridPlace {
  /** From 1, left to right. */
  readonly column: number;
  /** From 1, back to front. */
  readonly row: number;
}

export interface CellGrid {
  readonly columns: number;
  readonly rows: number;
  readonly places: readonly GridPlace[];
}

/** `spacingM`: smallest distance between two cells. Cells at one and the same place get rows of their own. */
export function cellGrid(cells: readonly { readonly xM: number; readonly yM: number }[], spacingM: number): CellGrid {
  const xRanks = ranks(
    cells.map(({ xM }) => xM),
    spacingM / 2,
  );
  const yRanks = ranks(
    cells.map(({ yM }) => -yM),
    spacingM / 2,
  );
  let rows = Math.max(0, ...yRanks);
  const taken = new Set<string>();
  const places = cells.map((_, cell) => {
    const column = xRanks[cell]!;
    let row = yRanks[cell]!;
    if (taken.has(`${column} ${row}`)) row = ++rows;
    taken.add(`${column} ${row}`);
    return { column, row };
  });
  return { columns: Math.max(0, ...xRanks), rows, places };
}

/** Rank from 1 of each value among groups of values that lie closer than `tolerance` to the group's first. */
function ranks(values: readonly number[], tolerance: number): number[] {
  const order = [...values.keys()].sort((a, b) => values[a]! - values[b]!);
  const out = new Array<number>(values.length).fill(0);
  let rank = 0;
  let start = -Infinity;
  for (const index of order) {
    if (rank === 0 || values[index]! - start >= tolerance) {
      rank++;
      start = values[index]!;
    }
    out[index] = rank;
  }
  return out;
}
