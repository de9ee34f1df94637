// Whether what several cells tell is enough to tell a break, though none is sure: their evidence adds up. It adds up as if
// they were independent, and where layers are untrue all over the plate at once they are not: how far together they go when
// nothing breaks is learned as the log runs, and their surprise restated by it (peaks over a threshold, exponential excess:
// Pickands 1975 with shape zero).
import type { LogHeader } from '../../header/logHeader.ts';
import { neededSurprise } from '../noise/budget.ts';
import { clearest, onsetsAgree } from './incident.ts';
import type { Gathering, Member } from './incident.ts';
import type { PlateFrame } from './plateFrame.ts';
import { pooledSurprise, reachPitches } from './pooling.ts';

/** Gatherings that passed the low level and were no break, and the sum of their excesses over it; forgetting. */
export interface TogetherTail {
  readonly passed: number;
  readonly excess: number;
}

export const noGatherings: TogetherTail = { passed: 0, excess: 0 };

/** No two cells are suspected together at less. */
const lowSurprise = 8;
/** What the law is worth, by which the mean excess is one: gatherings to be outvoted by. */
const lawGatherings = 8;
/** One gathering counts for no more: it may be a break that was not told. */
const largestExcess = 12;
const memoryGatherings = 100;

/** Share of the plate's cells from which on faint changes count as common to all. */
export const commonShare = 0.4;

/** Independent looks that a cell has while onsets still agree, about. */
const looksWithinSlack = 6;

/** Whether cells that are not sure convince together, by `pooled` of `pooledOf`. */
export function convinces(
  header: LogHeader,
  { cells }: PlateFrame,
  tail: TogetherTail,
  members: readonly Member[],
  pooled: number,
): boolean {
  const perSecond = cells.length / members[0]!.finding.intervalS;
  return restated(tail, pooled) >= neededSurprise(header.detection.falseAlarmHours, perSecond, 'together');
}

/** The surprise of all witnesses among the members of a break taken together; 0 where they are none. `together`: cells that changed at that time anywhere. */
export function pooledOf(frame: PlateFrame, members: readonly Member[], together: number): number {
  const lasting = members.filter((m) => m.lasting);
  if (lasting.length < 2) return 0;
  const { finding } = clearest(lasting);
  // A gathering may go on for long: what began at another time is no witness of this.
  const witnesses = lasting.filter((m) => onsetsAgree(m.finding, finding));
  if (witnesses.length < 2 || witnesses.some((m) => m.finding.young)) return 0;
  // Faint changes all over the plate are noise that the cells share, not several witnesses of a break.
  if (frame.cells.length > 4 && together > commonShare * frame.cells.length) return 0;
  const surprises = witnesses.map((m) => m.surprise);
  return pooledSurprise(surprises, looksWithinSlack, cellsWithin(frame));
}

/** Learns from a gathering that is closed. */
export function tailAfter(tail: TogetherTail, { pooled, told, members }: Gathering): TogetherTail {
  const isBreak = told.length > 0 || members.some((m) => m.confirmed);
  return isBreak ? tail : learnTogether(tail, pooled);
}

/** Learns from what cells said together that was nothing. */
export function learnTogether(tail: TogetherTail, pooled: number): TogetherTail {
  if (pooled < lowSurprise) return tail;
  const kept = tail.passed < memoryGatherings ? 1 : 0.5;
  return {
    passed: kept * tail.passed + 1,
    excess: kept * tail.excess + Math.min(largestExcess, pooled - lowSurprise),
  };
}

/** Never more than by the law: the few gatherings of a quiet log teach no more than that. */
export function restated({ passed, excess }: TogetherTail, surprise: number): number {
  const mean = (lawGatherings + excess) / (lawGatherings + passed);
  return surprise <= lowSurprise ? surprise : lowSurprise + (surprise - lowSurprise) / Math.max(1, mean);
}

/** Cells within reach of a cell in the midst of the plate. */
function cellsWithin({ cells }: PlateFrame): number {
  return Math.min(cells.length, Math.round(Math.PI * reachPitches ** 2));
}
