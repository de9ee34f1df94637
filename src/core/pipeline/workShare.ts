// How the cells of a plate are dealt out to workers. Cells do not know of each other until the plate stage, so any deal
// gives the same results; this one only evens out the load.
import type { CellLayout } from '../strain/layout.ts';

/** Cell indices per worker, heaviest cells first to the lightest worker; `workers` >= 1. Some shares may be empty. */
export function dealCells(layouts: readonly CellLayout[], workers: number): number[][] {
  const shares = Array.from({ length: workers }, () => ({ load: 0, cells: [] as number[] }));
  const weight = (layout: CellLayout): number => 1 + layout.rosettes.reduce((sum, r) => sum + r.channels.length, 0);
  const heaviestFirst = [...layouts].sort((a, b) => weight(b) - weight(a) || a.cell - b.cell);
  for (const layout of heaviestFirst) {
    const lightest = shares.reduce((least, share) => (share.load < least.load ? share : least));
    lightest.load += weight(layout);
    lightest.cells.push(layout.cell);
  }
  return shares.map((share) => share.cells.sort((a, b) => a - b));
}
