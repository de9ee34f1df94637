// A change that a cell is not sure of: neighbours may be its witnesses once it has lasted.

export interface Suspicion {
  serial: number;
  /** Greatest surprise told so far. */
  surprise: number;
  /** Of the last look that spoke. */
  row: number;
  onset: number;
  length: number;
  lasting: boolean;
  /** The largest change measured of it, per strain channel. */
  delta: number[];
}

/** A change too small to be told alone counts with its neighbours' once it has lasted so many rows. */
export const lastingRows = 6;

/** It has now lasted so long that neighbours may count it as a witness. */
export function lastsNow({ lasting, onset }: Suspicion, row: number): boolean {
  return !lasting && row - onset >= lastingRows;
}
