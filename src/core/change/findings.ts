// What one cell's detector tells the plate stage. Plain data: it crosses threads and is kept in the index.
// The detector of a cell sees only its own cell; whether neighbours agree is the plate stage's business.
import type { EventKind } from './events.ts';

/** A stretch in which one cell's strain departed from what it was doing. */
export interface CellFinding {
  /** `change` is judged by the plate stage; the sensor kinds and `heat` are already named. */
  readonly what: 'change' | EventKind;
  readonly cell: number;
  /** Accepted-row index at which the detector knew; findings are handed over in this order. */
  readonly knownRow: number;
  readonly knownTimeS: number;
  /** Estimated onset. */
  readonly row: number;
  readonly line: number;
  readonly timeS: number;
  readonly layer: number;
  /** Header channel indices concerned; empty means all of the cell. */
  readonly channels: readonly number[];
}
