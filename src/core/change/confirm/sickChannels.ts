// Which of a cell's channels has fallen sick. One change that one channel alone could have made is ambiguous, since three
// fibres in three directions can always be explained by the metal; several in a row that point at the same channel are not.
// Evidence of each change (twice the log of the odds for the lone channel, `soloist.ts`) adds up and fades.
// Plain data: part of the cell detector's state.
import type { SensorFinding } from '../findings.ts';
import { instantIn } from '../readings/heatWatch.ts';
import type { Instant } from '../readings/heatWatch.ts';
import { knownNow } from '../history.ts';
import type { HistoryState } from '../history.ts';

export interface SickChannelsState {
  /** Per strain channel: evidence so far, changes that gave it, and row of the last one. */
  readonly score: Float64Array;
  readonly changes: Float64Array;
  readonly lastRow: Float64Array;
  /** Onset of the first of them. */
  readonly onset: Instant[];
}

/** What a change brings beside its evidence: one that favours the metal by less than this is still ambiguous. */
const ambiguous = 4;
/** One change counts for no more than this. */
const mostEvidence = 6;
/** Evidence and changes from which a channel is sick. */
const sickScore = 6;
const fewestChanges = 2;
/** Rows after which half the evidence has faded. */
const fadingRows = 600;

export function newSickChannels(channels: number): SickChannelsState {
  return {
    score: new Float64Array(channels),
    changes: new Float64Array(channels),
    lastRow: new Float64Array(channels),
    onset: Array.from({ length: channels }, () => ({ row: -1, line: -1, timeS: NaN, layer: NaN })),
  };
}

/** Takes one change; true if `channel` is now sick: once that is told, `acquit` it. */
export function noteChange(state: SickChannelsState, channel: number, evidence: number, onset: Instant): boolean {
  const gained = Math.min(mostEvidence, evidence + ambiguous);
  // No finite evidence, or clearly the metal: neither adds.
  if (channel < 0 || !(gained > 0)) return false;
  const faded = 0.5 ** ((onset.row - state.lastRow[channel]!) / fadingRows);
  const kept = state.changes[channel]! > 0 && faded > 1 / 16 ? faded : 0;
  if (kept === 0) {
    state.changes[channel] = 0;
    state.onset[channel] = instantIn(onset);
  }
  state.score[channel] = kept * state.score[channel]! + gained;
  state.changes[channel]!++;
  state.lastRow[channel] = onset.row;
  return state.score[channel]! >= sickScore && state.changes[channel]! >= fewestChanges;
}

/** What is told of a channel that is sick by the latest sample: index `channel` of cell `cell`, `ofHeader` in the header. */
export function wanderFinding(
  { onset, changes, score }: SickChannelsState,
  channel: number,
  cell: number,
  ofHeader: number,
  history: HistoryState,
): SensorFinding {
  return {
    what: 'wander',
    cell,
    ...knownNow(history),
    ...instantIn(onset[channel]!),
    channels: [ofHeader],
    endRow: -1,
    endTimeS: NaN,
    samples: changes[channel]!,
    size: 0,
    sigmas: score[channel]!,
  };
}

/** The evidence against a channel is spent, e.g. because it was told. */
export function acquit(state: SickChannelsState, channel: number): void {
  state.score[channel] = 0;
  state.changes[channel] = 0;
}
