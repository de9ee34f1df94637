// A change that a cell is sure of, from its onset until its size has settled, and what takes it back.
import { sizeShare } from './changeShape.ts';
import { slot } from './history.ts';
import type { HistoryState } from './history.ts';
import type { Onset } from './onset.ts';

export interface Confirmed extends Onset {
  serial: number;
  surprise: number;
  length: number;
  /** Level before on the scale of the history since the restart, and the samples it is worth. */
  before: number[];
  beforeCount: number;
  delta: number[];
  /** Samples after the onset at which it is measured again next; 0 when settled. */
  again: number;
  /** Header channel that could have made it alone, and the evidence for that. */
  soloChannel: number;
  soloEvidence: number;
  /** That has been counted. */
  noted: boolean;
  /** It was told to have gone back. */
  gone: boolean;
}

/** A return comes within this many samples of the onset. */
const returnSamples = 64;
/** It leaves less than this share of the change. */
const returnShare = 0.4;

/** So soon after a change, what begins at `onset` may be its return. `rows`: in one sample. */
export function isRecent({ row }: Confirmed, onset: Onset, rows: number): boolean {
  return onset.row - row <= returnSamples * rows;
}

/**
 * Index of the one among recent changes before which the level was what it is after a change by `shift` from the level
 * `from`; -1 for none. That change took this one back, and all after it. Levels are compared and not sizes: a blow is
 * measured while it grows and while it falls, so neither its sides nor the parts of one side are alike. `first`: index of
 * the first strain channel.
 */
export function takenBack(
  recent: readonly Confirmed[],
  from: readonly number[],
  shift: readonly number[],
  first: number,
): number {
  const moved = shift.slice(first);
  let nearest = Infinity;
  let found = -1;
  recent.forEach(({ before, delta }, i) => {
    const left = moved.map((d, c) => from[first + c]! + d - before[first + c]!);
    const share = sizeShare(left, moved);
    if (share >= nearest || Math.min(share, sizeShare(left, delta)) >= returnShare) return;
    nearest = share;
    found = i;
  });
  return found;
}

/** The same change, its level before on the scale that the history has once it begins after the sample `split`. */
export function rebased(change: Confirmed, history: HistoryState, split: number): Confirmed {
  return { ...change, before: levelsFrom(change.before, history, split) };
}

/** Levels per component, on the scale that the history has once it begins after the sample `split`. */
export function levelsFrom(levels: readonly number[], history: HistoryState, split: number): number[] {
  const origin = slot(split + 1) * history.dimension;
  return levels.map((level, j) => level - history.raw[origin + j]!);
}
