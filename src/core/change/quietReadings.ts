// The common case of a channel's health, run by run: readings that are there, move on before they could be called stuck,
// and do not refine the resolution; or a lost channel that stays lost. Nothing turns in such rows, so a whole run of them is
// taken at once. What comes out is what `nextReading` makes of them one by one.
import { leastStuck, memoryRows, memoryRuns, runGain, stuckAfter } from './health.ts';
import type { HealthState } from './health.ts';

/**
 * Number of quiet readings from row `from` on, at most `to` - `from`. `values` are what the readings stand for: these, too,
 * must be there in all of the rows or in none.
 */
export function quietRows(
  h: HealthState,
  readings: Float64Array,
  values: Float64Array,
  from: number,
  to: number,
): number {
  if (h.stuck || h.heldOut > 0) return 0;
  const there = values[from] === values[from];
  if (h.missing > 0) return h.lost && !there ? lostRows(readings, from, to) : 0;
  // Until so many runs have ended, each may change what the resolution is taken to be.
  if (h.runs < memoryRuns) return 0;
  const { quantum } = h;
  let { last, equal } = h;
  for (let i = from; i < to; i++) {
    const reading = readings[i]!;
    const value = values[i]!;
    if ((value === value) !== there) return i - from;
    const difference = Math.abs(reading - last);
    // Written so that a missing reading, on either side, is not quiet.
    if (difference >= quantum) equal = 1;
    else if (difference !== 0 || (++equal >= leastStuck && equal >= surelyUsual(h, to - from))) return i - from;
    last = reading;
  }
  return to - from;
}

/** Runs shorter than this are not called stuck, whatever runs end within the next `rows` rows. */
function surelyUsual(h: HealthState, rows: number): number {
  // Each run that ends is of one reading at least, so the excess over one shrinks by no more than its own share.
  const kept = h.runs < memoryRuns ? 0 : (1 - 1 / (memoryRuns + 1)) ** rows;
  return stuckAfter(1 + (h.usualRun - 1) * kept);
}

function lostRows(readings: Float64Array, from: number, to: number): number {
  let i = from;
  while (i < to && readings[i] !== readings[i]) i++;
  return i - from;
}

/** Takes `count` readings that are quiet from row `from` on. */
export function takeQuiet(h: HealthState, readings: Float64Array, from: number, count: number): void {
  if (h.missing > 0) {
    h.missing += count;
    return;
  }
  let { last, equal, usualRun, missingShare, runs } = h;
  let gain = runGain(runs);
  for (let i = from; i < from + count; i++) {
    const reading = readings[i]!;
    if (reading === last) {
      equal++;
      continue;
    }
    if (missingShare > 0) missingShare -= missingShare / memoryRows;
    if (runs < memoryRuns) gain = runGain(++runs);
    usualRun += (equal - usualRun) * gain;
    equal = 1;
    last = reading;
  }
  h.last = last;
  h.equal = equal;
  h.usualRun = usualRun;
  h.missingShare = missingShare;
  h.runs = runs;
}
