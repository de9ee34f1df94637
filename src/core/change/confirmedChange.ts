// A change that a cell is sure of, from its onset until its size has settled, and what takes it back.
import { sizeShare } from './changeShape.ts';
import type { Onset } from './onset.ts';

export interface Confirmed extends Onset {
  serial: number;
  surprise: number;
  length: number;
  /** Level before on the scale of the history since the restart, and the samples it is worth. */
  before: number[];
  beforeCount: number;
  delta: number[];
  /** The same as first measured: what went back in part by now is still to be recognised by it. */
  first: number[];
  /** Samples after the onset at which it is measured again next; 0 when settled. */
  again: number;
  /** Header channel that could have made it alone, and the evidence for that. */
  soloChannel: number;
  soloEvidence: number;
  /** That has been counted. */
  noted: boolean;
}

/** A return comes within this many samples of the onset. */
const returnSamples = 64;
/** It leaves less than this share of the change. */
const returnShare = 0.4;

/** Whether a change by `back` (per strain channel) that begins at `onset` is the return of a confirmed one. */
export function goesBack({ row, first, delta }: Confirmed, back: readonly number[], onset: Onset): boolean {
  if (onset.row - row > returnSamples) return false;
  return [first, delta].some((change) => {
    const left = change.map((d, c) => d + back[c]!);
    return sizeShare(left, change) < returnShare;
  });
}
