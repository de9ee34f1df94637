// Where a change began: the place in the log of the first sample after its split, and the phase it counts for.
import { phases } from '../../header/logHeader.ts';
import type { Instant } from '../readings/heatWatch.ts';
import { slot } from '../history.ts';
import type { HistoryState } from '../history.ts';

/** Where a change began. */
export interface Onset extends Instant {
  readonly phase: number;
}

/** The onset of a change of which `split` is the last sample before. */
export function onsetOf(history: HistoryState, split: number): Onset {
  const at = slot(split + 1);
  return {
    row: history.row[at]!,
    line: history.line[at]!,
    timeS: history.timeS[at]!,
    layer: history.layer[at]!,
    phase: phaseAbout(history, split),
  };
}

/** Phase of the first sample after the split; recoating, where the one before it was still that: a blow may be seen late. */
function phaseAbout(history: HistoryState, split: number): number {
  const recoat = phases.indexOf('recoat');
  return split > 0 && history.phase[slot(split)] === recoat ? recoat : history.phase[slot(split + 1)]!;
}

/** As findings tell it: -1 for none. */
export function phaseIndex(phase: number): number {
  return Number.isNaN(phase) ? -1 : phase;
}
