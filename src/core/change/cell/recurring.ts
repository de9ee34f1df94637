// Changes that come again with the layer.
import type { CellDetectorState } from './cellDetectorState.ts';
import { markedShare, nearPlaces } from '../cycle/unrest.ts';

/** How many layers and places apart two confirmed changes are taken to be the same part of the cycle. */
const recurringLayers = 3;
const recurringPlaces = 8;

/**
 * A change at the place of the layer where one was told a layer or a few ago is the cycle, not yet learned there: it is
 * left to be learned. (Breaks do not keep to the timetable.)
 */
export function recurs(state: CellDetectorState, place: number): boolean {
  const ago = state.cycle.layers - state.confirmedLayer;
  if (place < 0 || state.confirmedPlace < 0 || ago < 1 || ago > recurringLayers) return false;
  if (Math.abs(place - state.confirmedPlace) > Math.min(recurringPlaces, nearPlaces(state.cycle, markedShare)))
    return false;
  if (state.cycle.samples > 0) state.confirmedLayer = state.cycle.layers - 1;
  return true;
}
