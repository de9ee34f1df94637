// What a cell's detector sees at one sample, beside its tests and its history.
import type { Look } from '../blocks/blockTests.ts';
import type { CycleState } from '../cycle/cycle.ts';
import type { CellFinding } from '../findings.ts';
import type { HealthState } from '../readings/health.ts';

export interface Sight {
  readonly look: Look;
  /** Surprise at which the cell alone may cry. */
  readonly needed: number;
  /** False in layers whose cycle is not known yet. */
  readonly placeKnown: boolean;
  readonly cycle: CycleState;
  readonly outOfRhythm: boolean;
  readonly young: boolean;
  readonly intervalS: number;
  /** Rows in one sample. */
  readonly rows: number;
  /** Per component, the last value with the cycle off. */
  readonly flat: Float64Array;
  readonly health: readonly HealthState[];
  readonly findings: CellFinding[];
}
