// A change that a cell is sure of, from its onset until its size has settled, and what takes it back.
import type { CycleMatch } from './cycleMatch.ts';
import { sizeShare } from './changeShape.ts';
import { slot } from '../history.ts';
import type { HistoryState } from '../history.ts';
import { breakS } from '../durations.ts';
import type { Onset } from './onset.ts';
import type { Sight } from './sight.ts';

/** What a change is measured from. */
export interface Basis {
  /** Level before on the scale of the history since the restart, and the samples it is worth. */
  before: number[];
  beforeCount: number;
  /** What the cycle took off at its onset, per component. */
  taken: number[];
}

export interface Confirmed extends Onset, Basis {
  serial: number;
  surprise: number;
  length: number;
  /** Row at which it was told. */
  knownRow: number;
  /** Row at which its latest part began, and row until which what begins is a further part. */
  partRow: number;
  openUntil: number;
  delta: number[];
  /** What the cycle at another place of the layer would leave of it, and could do at most. */
  match: CycleMatch;
  /** By how much the cycle's levels were moved for it so far, per component. */
  moved: number[];
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

/** A return comes within this many samples of the onset, and within as many seconds where these are more. */
const returnSamples = 64;
const returnS = 64;
/** It leaves less than this share of the change. */
const returnShare = 0.4;
/** What one channel keeps is clear beyond so many of its errors, and is little below this share of the largest change. */
const keptSigmas = 4;
const keptShare = 0.25;

/** So soon after a change, what begins at `onset` may be its return. */
export function isRecent({ row }: Confirmed, onset: Onset, { rows, intervalS }: Sight): boolean {
  return onset.row - row <= Math.max(returnSamples * rows, returnS / intervalS);
}

/** What begins at `onset` is no change of its own: the one before it is under way still. */
export function isPart({ openUntil }: Confirmed, onset: Onset): boolean {
  return onset.row <= openUntil;
}

/**
 * Row until which the next part of a change comes, of which one began at `partRow` and is known now. Until it is known nothing
 * further can be seen; but what took long to be seen was faint, not long under way.
 */
export function openUntil(partRow: number, knownRow: number, { intervalS }: Sight): number {
  const most = Math.floor(breakS / intervalS);
  return partRow + Math.min(most, knownRow - partRow) + most;
}

/** Samples after the onset of its latest part at which a confirmed change is measured again. */
const settleAt = [8, 24] as const;
/** And seconds, where those are over sooner: by then a break has come to rest. */
const restS = 5;

/** When it is to be measured next, in samples since its latest part began; 0 when settled. `last`: when it was, 0 for never. */
export function measuredNext(last: number, { rows, intervalS }: Sight): number {
  const rest = Math.ceil(restS / (rows * intervalS));
  return settleAt.find((n) => n > last) ?? (rest > last ? rest : 0);
}

/**
 * Index of the one among recent changes before which the level was what it is after a change by `shift` from the level
 * `from`; -1 for none. That change took this one back, and all after it. Levels are compared and not sizes: a blow is
 * measured while it grows and while it falls, so neither its sides nor the parts of one side are alike. `errors`: of what the strain channels moved by; `first`: index of
 * the first strain channel.
 */
export function takenBack(
  recent: readonly Confirmed[],
  from: readonly number[],
  shift: readonly number[],
  errors: readonly number[],
  first: number,
): number {
  const moved = shift.slice(first);
  let nearest = Infinity;
  let found = -1;
  recent.forEach(({ before, delta }, i) => {
    const left = moved.map((d, c) => from[first + c]! + d - before[first + c]!);
    const share = sizeShare(left, moved);
    if (share >= nearest || Math.min(share, sizeShare(left, delta)) >= returnShare) return;
    if (keeps(left, delta, moved, errors)) return;
    nearest = share;
    found = i;
  });
  return found;
}

/**
 * Whether a channel keeps a share of its own change for which a return leaves too much, though all channels together hardly do:
 * clear of its error, and not little beside the largest.
 */
function keeps(
  left: readonly number[],
  delta: readonly number[],
  moved: readonly number[],
  errors: readonly number[],
): boolean {
  const most = Math.max(...delta.map((d) => (Number.isNaN(d) ? 0 : Math.abs(d))));
  return left.some((l, c) => {
    const size = Math.abs(l);
    if (!(size > keptSigmas * errors[c]!) || size < keptShare * most) return false;
    return size > returnShare * Math.abs(delta[c]!) && size > returnShare * Math.abs(moved[c]!);
  });
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
