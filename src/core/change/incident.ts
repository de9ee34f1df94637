// Changes of several cells that began together. A gathering holds one entry per cell; it may hold more than one break,
// if they began at the same time in different places. Plain data: part of the plate stage's state.
import type { ChangeFinding } from './findings.ts';

export interface Member {
  /** The latest finding about the change of this cell. */
  finding: ChangeFinding;
  /** Greatest surprise told of it. */
  surprise: number;
  /** The cell alone was sure. */
  confirmed: boolean;
  /** Row of the way back; -1 while it lasts. */
  endRow: number;
  endTimeS: number;
}

/** A break that has been told. */
export interface Told {
  readonly id: string;
  /** Cell that was strongest when it was told, by which it is recognised. */
  readonly cell: number;
  readonly detectedRow: number;
  readonly detectedTimeS: number;
  /** Place in the list of events. */
  readonly slot: number;
}

export interface Gathering {
  members: Member[];
  told: Told[];
  /** Row of the last finding. */
  lastRow: number;
}

/** Samples by which onsets of one break may be apart, beside half the lengths of the blocks that saw them. */
const slackRows = 3;

export function onsetsAgree(a: ChangeFinding, b: ChangeFinding): boolean {
  const slack = slackRows + 0.5 * Math.max(a.length, b.length);
  return Math.abs(a.row - b.row) <= slack;
}

/** The member that began the gathering for the eye: the most surprising one. */
export function strongestOf(members: readonly Member[]): Member {
  return members.reduce((a, b) =>
    b.surprise > a.surprise || (b.surprise === a.surprise && b.finding.cell < a.finding.cell) ? b : a,
  );
}
