// Growth that is told in parts: a support that gives way slowly changes cell after cell, each again and again. It is one
// event, not one a part.
import type { ChangeFinding } from '../findings.ts';
import { breakS } from '../durations.ts';
import { rampRows, settlingRows } from './incident.ts';
import type { Gathering, Member } from './incident.ts';
import { pitches } from './plateFrame.ts';
import type { PlateFrame } from './plateFrame.ts';
import { reachPitches } from './pooling.ts';

/** What a change is a part of; `member` where its cell has grown before. */
export interface Growth {
  readonly gathering: Gathering;
  readonly member: Member | undefined;
}

interface Grown extends Growth {
  readonly member: Member;
}

/** Changes whose cosine is more are of one direction: nearer to it than to standing across. */
const sameDirection = Math.SQRT1_2;

/**
 * The growth of which the change is a part; undefined where there is none. Two changes of a cell in one direction may be two
 * breaks; the third within the time of a ramp's next part is growth, unless the first settles still. So is a slow change next
 * to a cell that grows.
 */
export function growthOf(frame: PlateFrame, gatherings: readonly Gathering[], next: ChangeFinding): Growth | undefined {
  const earlier = earlierParts(gatherings, next);
  if (earlier.length === 0) return undefined;
  const own = earlier.filter(
    ({ member: { finding } }) =>
      finding.cell === next.cell && next.row - finding.row > settlingRows(finding, next) && isAligned(finding, next),
  );
  const parts = own.reduce((sum, { member }) => sum + member.serials.length, 0);
  const growing = own.find(({ member }) => member.grows) ?? (parts > 1 ? own.at(-1) : undefined);
  if (growing || !(next.ramp || next.spacing > 1)) return growing;
  const beside = earlier.find(
    ({ gathering, member }) =>
      member.grows &&
      pitches(frame, member.finding.cell, next.cell) <= reachPitches &&
      !gathering.members.some((m) => m.finding.cell === next.cell),
  );
  return beside && { gathering: beside.gathering, member: undefined };
}

/** Asked of every change there is, and mostly in vain: makes nothing on the way. */
function earlierParts(gatherings: readonly Gathering[], next: ChangeFinding): Grown[] {
  const earlier: Grown[] = [];
  for (const gathering of gatherings) {
    for (const member of gathering.members) if (goesOn(member, next)) earlier.push({ gathering, member });
  }
  return earlier;
}

/** The change is there still, and the next comes within the time of a ramp's next part. */
function goesOn({ finding, serials, confirmed, endRow }: Member, next: ChangeFinding): boolean {
  if (!confirmed || endRow >= 0 || serials.includes(next.serial)) return false;
  return next.row - finding.knownRow <= rampRows(next, Math.max(finding.spacing, next.spacing));
}

function isAligned({ delta: a }: ChangeFinding, { delta: b }: ChangeFinding): boolean {
  const product = (x: readonly number[], y: readonly number[]): number =>
    x.reduce((sum, v, c) => (Number.isNaN(a[c]! * b[c]!) ? sum : sum + v * y[c]!), 0);
  return product(a, b) > sameDirection * Math.sqrt(product(a, a) * product(b, b));
}

function sureOne(members: readonly Member[], cell: number): Member | undefined {
  for (const m of members) if (m.finding.cell === cell && m.confirmed && m.endRow < 0) return m;
  return undefined;
}

/** The cell changed by a break or a lift that is under way still in one of its cells, and goes on in the same direction. */
export function isUnderWay({ members }: Gathering, next: ChangeFinding): boolean {
  const own = sureOne(members, next.cell);
  if (!own || next.row < own.finding.row || !isAligned(own.finding, next)) return false;
  return members.some((m) => {
    if (!m.confirmed || m.endRow >= 0) return false;
    const lifts = m.grows || m.finding.ramp;
    const wait = lifts ? rampRows(next, Math.max(m.finding.spacing, next.spacing)) : breakS / next.intervalS;
    return (lifts || m !== own) && next.row <= m.finding.partRow + wait;
  });
}
