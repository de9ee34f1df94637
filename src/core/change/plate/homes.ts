// Which of the gatherings under way a finding about a change belongs to, and whether it is about one of their members.
import type { ChangeFinding } from '../findings.ts';
import { growthOf, isUnderWay } from './growth.ts';
import { breakS } from '../durations.ts';
import { continues, onsetsAgree } from './incident.ts';
import type { Gathering, Member } from './incident.ts';
import { changeSize } from './incidentEvent.ts';
import { drowns, isAbout } from './member.ts';
import type { PlateFrame } from './plateFrame.ts';
import { slightShare } from './pooling.ts';

export interface Home {
  /** One of those given, or a fresh one. */
  readonly gathering: Gathering;
  /** The member that it is about, or is a further part of; undefined where its cell is new there. */
  readonly member: Member | undefined;
  /** The member is known by it to grow. */
  readonly grows: boolean;
  /** The gathering that its cell was in so far, where it has left that. */
  readonly left: Gathering | undefined;
}

/** Undefined for what is part of a change that was told to have gone before. */
export function homeOf(frame: PlateFrame, gatherings: readonly Gathering[], finding: ChangeFinding): Home | undefined {
  const { cell } = finding;
  const isOwn = (m: Member): boolean => m.finding.cell === cell && isAbout(m, finding);
  const first = gatherings.find(({ members }) => members.some(isOwn));
  if (!first && finding.stage === 'returned') return undefined;
  const surer = first && surerOne(gatherings, first, finding);
  const growing = first ? undefined : growthOf(frame, gatherings, finding);
  const gathering =
    surer ??
    first ??
    growing?.gathering ??
    goneOn(gatherings, finding) ??
    joined(gatherings, finding) ??
    fresh(finding);
  if (surer) leave(first, finding);
  const isIt = (m: Member): boolean =>
    isAbout(m, finding) || !m.confirmed || continues(m.finding, finding) || isUnderWay(gathering, finding);
  const member = growing?.member ?? gathering.members.find((m) => m.finding.cell === cell && isIt(m));
  return { gathering, member, grows: growing?.member !== undefined, left: surer && first };
}

function fresh({ knownRow }: ChangeFinding): Gathering {
  return { members: [], told: [], astray: false, pooled: 0, lastRow: knownRow };
}

/** Takes the finding's cell out. */
export function leave(gathering: Gathering, { cell }: ChangeFinding): void {
  gathering.members = gathering.members.filter((m) => m.finding.cell !== cell);
}

/** A break that is sure, to which the change belongs rather than to what other cells but suspect, too. */
function surerOne(gatherings: readonly Gathering[], own: Gathering, finding: ChangeFinding): Gathering | undefined {
  if (own.members.some((m) => m.confirmed)) return undefined;
  const isSure = sureOf(finding);
  const isOfCell = sureOfCell(finding);
  return gatherings.find(({ members }) => members.some(isSure) && !members.some(isOfCell));
}

/** What is asked of every member there is, is made once a finding. */
type Asked = (member: Member) => boolean;

/** Whether a member is sure of a change, there still, that began with the finding's. */
function sureOf(finding: ChangeFinding): Asked {
  return (m) => m.confirmed && m.endRow < 0 && onsetsAgree(m.finding, finding);
}

/** Whether it is the finding's cell, and sure of a change. */
function sureOfCell({ cell }: ChangeFinding): Asked {
  return (m) => m.confirmed && m.finding.cell === cell;
}

/** The gathering of which the change is a further part. What was not sure is left for what now is, at the same time. */
function goneOn(gatherings: readonly Gathering[], finding: ChangeFinding): Gathering | undefined {
  const goesOn: Asked = (m) => continues(m.finding, finding);
  const going = gatherings.filter((g) => g.members.some(goesOn) || isUnderWay(g, finding));
  if (going.length === 0) return undefined;
  const sure: Asked = (m) => m.confirmed && onsetsAgree(m.finding, finding);
  const better = gatherings.some((g) => !going.includes(g) && g.members.some(sure));
  if (!better) return going[0];
  return going.find((g) => g.members.some((m) => m.confirmed && goesOn(m)) || isUnderWay(g, finding));
}

/** The gathering that began with the change, in other cells. */
function joined(gatherings: readonly Gathering[], finding: ChangeFinding): Gathering | undefined {
  const began: Asked = (m) => onsetsAgree(m.finding, finding) || drowns(m, finding);
  const isOfCell = sureOfCell(finding);
  const fits = gatherings.filter(({ members }) => members.some(began) && !members.some(isOfCell));
  if (fits.length === 0) return undefined;
  const isSure = sureOf(finding);
  const sure = fits.filter(({ members }) => members.some(isSure));
  const apart = (g: Gathering): number => Math.min(...g.members.map((m) => Math.abs(m.finding.row - finding.row)));
  return (sure.length > 0 ? sure : fits).reduce<Gathering | undefined>(
    (a, b) => (a && apart(a) <= apart(b) ? a : b),
    undefined,
  );
}

/**
 * What went back, and came at once after a larger change of its cell that did, is how the metal swings after a blow. `own`:
 * where it is.
 */
export function swings(gatherings: readonly Gathering[], own: Gathering, finding: ChangeFinding): boolean {
  const isBlow = (m: Member): boolean =>
    m.finding.cell === finding.cell &&
    m.endRow >= 0 &&
    m.finding.row < finding.row &&
    finding.row - m.endRow <= breakS / finding.intervalS &&
    changeSize(finding) < slightShare * changeSize(m.finding);
  return gatherings.some((g) => g !== own && g.members.some(isBlow));
}
