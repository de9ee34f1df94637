// A finding about a change, as a cell's detector would tell it, with what a test does not care for filled in.
import type { ChangeFinding, RosetteChange } from '../../src/core/change/findings.ts';

/** A confirmed change that began at `row` and was known three rows later. */
export function changeFinding(row: number, change: Partial<ChangeFinding> = {}): ChangeFinding {
  const delta = change.delta ?? [10e-6, 10e-6, 10e-6];
  return {
    what: 'change',
    cell: 0,
    knownRow: row + 3,
    knownTimeS: row + 3,
    row,
    line: row + 9,
    timeS: row,
    layer: 1,
    phase: -1,
    channels: [],
    partRow: row,
    serial: row,
    stage: 'confirmed',
    length: 3,
    spacing: 1,
    intervalS: 1,
    surprise: 20,
    sigmas: 10,
    cycleLeft: NaN,
    cycleReach: NaN,
    levelBefore: delta.map(() => 0),
    delta,
    deltaError: delta.map(() => 1e-7),
    rosettes: [],
    ramp: false,
    temperatureK: 0,
    usualK: 0.1,
    soloEvidence: -5,
    soloChannel: 0,
    lasting: false,
    outOfRhythm: false,
    young: false,
    endPhase: -1,
    endRow: -1,
    endTimeS: NaN,
    ...change,
  };
}

/** The change of one rosette (ex, ey, gxy), known to a tenth of a microstrain. */
export function rosetteChange(ex: number, ey: number, gxy: number): RosetteChange {
  const covariance = [1e-14, 1e-14, 1e-14, 0, 0, 0] as const;
  return { plane: 0, change: [ex, ey, gxy], covariance, turnDeg: NaN, turnErrorDeg: NaN };
}
