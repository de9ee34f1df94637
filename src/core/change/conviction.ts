// Whether what several cells tell is enough to tell a break: one that is sure, or witnesses whose evidence adds up.
import type { LogHeader } from '../header/logHeader.ts';
import { neededSurprise } from './budget.ts';
import { clearest, onsetsAgree } from './incident.ts';
import type { Member } from './incident.ts';
import type { PlateFrame } from './plateFrame.ts';
import { pooledSurprise, reachPitches } from './pooling.ts';

/** Share of the plate's cells from which on faint changes count as common to all. */
const commonShare = 0.4;

/** Independent looks that a cell has while onsets still agree, about. */
const looksWithinSlack = 6;

/** `together`: cells that changed at that time anywhere. */
export function convinces(header: LogHeader, frame: PlateFrame, members: readonly Member[], together: number): boolean {
  if (members.some((m) => m.confirmed)) return true;
  const lasting = members.filter((m) => m.lasting);
  if (lasting.length < 2) return false;
  const { finding } = clearest(lasting);
  // A gathering may go on for long: what began at another time is no witness of this.
  const witnesses = lasting.filter((m) => onsetsAgree(m.finding, finding));
  if (witnesses.length < 2 || witnesses.some((m) => m.finding.young)) return false;
  // Faint changes all over the plate are noise that the cells share, not several witnesses of a break.
  if (frame.cells.length > 4 && together > commonShare * frame.cells.length) return false;
  const perSecond = frame.cells.length / members[0]!.finding.intervalS;
  const needed = neededSurprise(header.detection.falseAlarmHours, perSecond, 'together');
  const surprises = witnesses.map((m) => m.surprise);
  return pooledSurprise(surprises, looksWithinSlack, cellsWithin(frame)) >= needed;
}

/** Cells within reach of a cell in the midst of the plate. */
function cellsWithin({ cells }: PlateFrame): number {
  return Math.min(cells.length, Math.round(Math.PI * reachPitches ** 2));
}
