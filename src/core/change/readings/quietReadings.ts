// The common case of a channel's health, run by run: readings that are there, move on before they could be called stuck,
// and do not refine the resolution; or a lost channel that stays lost. Nothing turns in such rows, so a whole run of them is
// taken at once. What comes out is what `nextReading` makes of them one by one.
import { leastStuck, memoryRows, memoryRuns, runGain, runRowsAfter, stuckAfter } from './health.ts';
import type { HealthState } from './health.ts';

/** What a run of quiet readings, `rows` of them, makes of a channel's health. */
export interface QuietRun {
  rows: number;
  last: number;
  equal: number;
  usualRun: number;
  runRows: number;
  missingShare: number;
}

export function newQuietRun(): QuietRun {
  return { rows: 0, last: NaN, equal: 0, usualRun: NaN, runRows: 0, missingShare: NaN };
}

/**
 * Number of quiet readings from row `from` on, at most `to` - `from`; `run` gets what they would make of the health.
 * `values` are what the readings stand for: these, too, must be there in all of the rows or in none.
 */
export function quietRows(
  h: HealthState,
  readings: Float64Array,
  values: Float64Array,
  from: number,
  to: number,
  run: QuietRun,
): number {
  if (h.stuck || h.heldOut > 0) return 0;
  const there = values[from] === values[from];
  if (h.missing > 0) return h.lost && !there ? lostRows(readings, from, to) : 0;
  // Until so many runs have ended, each may change what the resolution is taken to be.
  if (h.runs < memoryRuns) return 0;
  const { quantum } = h;
  let { last, equal, usualRun, runRows, missingShare } = h;
  let i = from;
  for (; i < to; i++) {
    const reading = readings[i]!;
    const value = values[i]!;
    if ((value === value) !== there) break;
    const difference = Math.abs(reading - last);
    // Written so that a missing reading, on either side, is not quiet.
    if (difference >= quantum) {
      if (missingShare > 0) missingShare -= missingShare / memoryRows;
      runRows = runRowsAfter(runRows, equal);
      usualRun += (equal - usualRun) * runGain(equal, runRows);
      equal = 1;
      last = reading;
    } else {
      if (difference !== 0 || (equal + 1 >= leastStuck && equal + 1 >= stuckAfter(usualRun))) break;
      equal++;
    }
  }
  run.rows = i - from;
  run.last = last;
  run.equal = equal;
  run.usualRun = usualRun;
  run.runRows = runRows;
  run.missingShare = missingShare;
  return i - from;
}

function lostRows(readings: Float64Array, from: number, to: number): number {
  let i = from;
  while (i < to && readings[i] !== readings[i]) i++;
  return i - from;
}

/** Takes `count` readings that are quiet from row `from` on; `run` is what `quietRows` has found there. */
export function takeQuiet(
  h: HealthState,
  readings: Float64Array,
  values: Float64Array,
  from: number,
  count: number,
  run: QuietRun,
): void {
  if (h.missing > 0) {
    h.missing += count;
    return;
  }
  if (run.rows !== count) quietRows(h, readings, values, from, from + count, run);
  h.last = run.last;
  h.equal = run.equal;
  h.usualRun = run.usualRun;
  h.runRows = run.runRows;
  h.missingShare = run.missingShare;
}
