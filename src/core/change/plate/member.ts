// One cell in a gathering: how what it tells of a change, part by part, becomes one finding.
import type { ChangeFinding } from '../findings.ts';
import { joined } from './incident.ts';
import type { Member } from './incident.ts';
import { changeSize, sizeOf } from './incidentEvent.ts';
import { slightShare } from './pooling.ts';

/** A faint change that was first told after a far larger one began, by samples from both sides of that, is felt of it. */
export function drowns(large: Member, faint: ChangeFinding): boolean {
  const { row } = large.finding;
  const spans = faint.row < row && row <= faint.knownRow;
  return spans && large.confirmed && changeSize(faint) <= slightShare * sizeOf(large);
}

/** The finding is about this change, or about a part of it. */
export function isAbout({ finding, serials }: Member, { serial }: ChangeFinding): boolean {
  return finding.serial === serial || serials.includes(serial);
}

export function newMember(finding: ChangeFinding): Member {
  const { surprise, stage, lasting, endRow, endTimeS, endPhase } = finding;
  return {
    finding,
    base: undefined,
    serials: [finding.serial],
    grows: false,
    peak: undefined,
    surprise,
    confirmed: stage !== 'suspected',
    lasting,
    endRow,
    endTimeS,
    endPhase,
  };
}

/** Takes a further finding about the change, or about what comes on top of it. */
export function update(member: Member, finding: ChangeFinding): void {
  const goesOn = member.confirmed && member.finding.serial !== finding.serial;
  // What is only suspected on top of a change that is sure says nothing about that.
  if (goesOn && finding.stage === 'suspected') return;
  member.surprise = Math.max(member.surprise, finding.surprise);
  member.lasting ||= finding.lasting;
  member.confirmed ||= finding.stage !== 'suspected';
  if (finding.endRow >= 0) {
    goBack(member, finding);
    return;
  }
  // A cell starts afresh when it is sure: what it tells next comes on top. Until then it measures the same change again.
  if (finding.partRow > Math.max(finding.row, member.finding.partRow) && !goesOn)
    member.peak = largest(member.peak, member.finding);
  if (goesOn) {
    member.base = member.finding;
    member.serials.push(finding.serial);
  }
  member.finding = member.base ? joined(member.base, finding, member.grows || member.base.ramp || undefined) : finding;
}

/** The first of equals. */
function largest(a: ChangeFinding | undefined, b: ChangeFinding | undefined): ChangeFinding | undefined {
  return a && b && changeSize(a) >= changeSize(b) ? a : (b ?? a);
}

function goBack(member: Member, { serial, endRow, endTimeS, endPhase }: ChangeFinding): void {
  const { base, finding, peak } = member;
  if (member.endRow >= 0) return;
  const most = largest(largest(base, finding), peak);
  const left = member.serials.filter((own) => own !== serial);
  if (base && (base.serial !== serial || left.length > 1)) {
    // Only what came on top went back, so far; or the first of many parts.
    const isTop = finding.serial === serial;
    Object.assign(member, { serials: left, peak: most }, isTop ? { finding: base, base: undefined } : {});
    return;
  }
  // The measure of what went back is that taken before it did, and before a part of it was the way back.
  Object.assign(member, { finding: most, endRow, endTimeS, endPhase });
}
