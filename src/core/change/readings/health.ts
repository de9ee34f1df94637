// The plain health of one channel, seen in its raw readings: missing for longer than this channel's usual gaps, or frozen
// for longer than its usual runs of equal readings. Also the least difference between readings: its resolution.
// Rows are counted by the caller; readings in the file's own unit.

export interface HealthState {
  /** Last reading that was there. */
  last: number;
  /** Equal readings in a row, this one included; missing ones in a row. */
  equal: number;
  missing: number;
  /**
   * Usual length of the run of equal readings that a reading belongs to: mean of the runs, each weighed by its length. Runs
   * so far and their rows, as far as they are remembered; and share of readings that are missing.
   */
  usualRun: number;
  runs: number;
  runRows: number;
  missingShare: number;
  /** Smallest difference between two readings so far; Infinity before any. */
  quantum: number;
  stuck: boolean;
  lost: boolean;
  /** Rows for which it is not believed any more, having been found sick. */
  heldOut: number;
}

/** -ln of the chance at which a run is no longer one: one in ten thousand million. */
const runSurprise = Math.log(1e10);
/** Shortest run called stuck, and shortest gap called a dropout. */
export const leastStuck = 8;
const leastMissing = 3;
/** Before any run has ended, runs are taken to be this long: a channel constant from the start is told after 80 rows. */
const firstRun = 4;
/** Runs after which the resolution is known. */
export const memoryRuns = 64;
/** Rows for which missing readings are remembered. */
export const memoryRows = 512;
/** Rows for which runs are: at one row a second the hour in which the heat of a plate comes and goes. */
const runMemoryRows = 4096;

export function newHealth(): HealthState {
  return {
    last: NaN,
    equal: 0,
    missing: 0,
    usualRun: weighed(firstRun),
    runs: 0,
    runRows: 0,
    missingShare: 0,
    quantum: Infinity,
    stuck: false,
    lost: false,
    heldOut: 0,
  };
}

export const turns = { none: 0, lost: 1, found: 2, stuck: 3, freed: 4 } as const;
export type Turn = (typeof turns)[keyof typeof turns];

/** Takes one reading; says what turned. */
export function nextReading(h: HealthState, reading: number): Turn {
  if (reading !== reading) return nextMissing(h);
  if (h.missing > 0) return nextFound(h, reading);
  if (reading === h.last) {
    h.equal++;
    if (h.equal < leastStuck || h.stuck || h.equal < stuckAfter(h.usualRun)) return turns.none;
    h.stuck = true;
    return turns.stuck;
  }
  return nextDifferent(h, reading);
}

function nextMissing(h: HealthState): Turn {
  h.missing++;
  if (h.lost || h.missing < leastMissing) return turns.none;
  const needed = h.missingShare > 0 ? runSurprise / -Math.log(Math.min(0.9, h.missingShare)) : 0;
  if (h.missing < needed) return turns.none;
  h.lost = true;
  return turns.lost;
}

function nextFound(h: HealthState, reading: number): Turn {
  const known = Math.min(h.missing, leastMissing);
  h.missingShare += (known * (1 - h.missingShare)) / memoryRows;
  h.missing = 0;
  const lost = h.lost;
  h.lost = false;
  if (reading === h.last) h.equal++;
  else nextDifferent(h, reading);
  return lost ? turns.found : turns.none;
}

function nextDifferent(h: HealthState, reading: number): Turn {
  const difference = reading > h.last ? reading - h.last : h.last - reading;
  if (difference < h.quantum) h.quantum = difference;
  const freed = h.stuck;
  // A run that was a fault says nothing about usual runs; a coarse reading that goes on by one step was but at rest.
  const rested = h.usualRun > weighed(repeatedRun) && difference < 1.5 * h.quantum;
  endRun(h, freed && !rested ? 0 : h.equal);
  h.stuck = false;
  h.last = reading;
  h.equal = 1;
  return freed ? turns.freed : turns.none;
}

/** A reading that differs has ended a run of `equal` ones; the first reading of all ends none: 0. */
function endRun(h: HealthState, equal: number): void {
  if (h.missingShare > 0) h.missingShare -= h.missingShare / memoryRows;
  if (equal === 0) return;
  if (h.runs < memoryRuns) h.runs++;
  h.runRows = runRowsAfter(h.runRows, equal);
  h.usualRun += (equal - h.usualRun) * runGain(equal, h.runRows);
}

/** Rows of runs that are remembered once one of `equal` readings has ended. */
export function runRowsAfter(rows: number, equal: number): number {
  return Math.min(runMemoryRows, rows + equal);
}

/**
 * Share of a run of `equal` readings that is learned, it being the last of `rows` rows. By its length: a coarse reading
 * flickers between two steps, in many short runs, and rests between them in few long ones, which are no less usual.
 */
export function runGain(equal: number, rows: number): number {
  return Math.min(1, equal / (rows + firstRun));
}

/**
 * Runs of equal readings are taken as geometric: each further reading is equal with the same chance. `usualRun`: weighed by
 * their length.
 */
export function stuckAfter(usualRun: number): number {
  const mean = (usualRun + 1) / 2;
  const share = Math.max(0.05, 1 - 1 / Math.max(1, mean));
  return Math.max(leastStuck, Math.ceil(runSurprise / -Math.log(share)));
}

/** The mean of geometric runs weighed by their length, of their plain mean. */
function weighed(mean: number): number {
  return 2 * mean - 1;
}

/** There is a reading now, and it is believed. */
export function isThere(h: HealthState): boolean {
  return !h.stuck && h.missing === 0 && h.heldOut === 0;
}

/** The smallest difference so far is the resolution: seen in many differences, or equal readings are not rare. */
export function resolved({ runs, runRows }: HealthState): boolean {
  return runs >= memoryRuns || (runs >= fewRuns && (firstRun + runRows) / (1 + runs) > repeatedRun);
}

const fewRuns = 6;
/** Readings are often equal where this is the plain mean of their runs. */
const repeatedRun = 1.6;
