// A plate that changes its temperature where no thermometer tells: what most of its cells showed at one time goes on for
// minutes, and what any of them tells meanwhile is likely more of it.
import type { CellFinding } from '../findings.ts';
import { rampRows } from './incident.ts';
import type { Member } from './incident.ts';
import { isCommon } from './kind.ts';
import type { PlateFrame } from './plateFrame.ts';

/** Rows of the log, both included. */
export interface PlateDrift {
  readonly fromRow: number;
  readonly untilRow: number;
}

export const noDrift: PlateDrift = { fromRow: 0, untilRow: -1 };

/** A plate comes to rest within minutes of the last that was told of its temperature. */
const restS = 300;

export function isWithin({ fromRow, untilRow }: PlateDrift, row: number): boolean {
  return fromRow <= row && row <= untilRow;
}

/** The drift, once cells that changed together (`members`) have been found to change by heat; `news` made it known. */
export function driftAfter(
  drift: PlateDrift,
  { cells }: PlateFrame,
  members: readonly Member[],
  { knownRow }: CellFinding,
): PlateDrift {
  const { finding } = members[0]!;
  const { temperatureK, intervalS, row } = finding;
  if (!Number.isNaN(temperatureK) || !isCommon(cells.length, members.length)) return drift;
  // What is only now understood of an earlier time does not end what goes on.
  if (row < drift.fromRow) return drift;
  const untilRow = knownRow + Math.max(rampRows(finding, 1), restS / intervalS);
  const goesOn = isWithin(drift, row);
  return {
    fromRow: goesOn ? drift.fromRow : Math.min(...members.map((m) => m.finding.row)),
    untilRow: goesOn ? Math.max(drift.untilRow, untilRow) : untilRow,
  };
}
