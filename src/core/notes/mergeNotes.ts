// Two people changed the notes at once: joins what this editor holds with what now stands on disk, knowing what both
// started from. Nothing of either is lost; where both said something else of the same thing, ours stands, and the other
// is written down as a remark.
import { compareText, inOrder } from './notes.ts';
import type { Notes, Remark, Thread } from './notes.ts';

export interface MergedNotes {
  readonly notes: Notes;
  /** One sentence for each thing on which the two disagree. */
  readonly conflicts: readonly string[];
}

/** `date` (ISO 8601, UTC) is given to remarks that record a disagreement. */
export function mergeNotes(base: Notes, ours: Notes, theirs: Notes, date: string): MergedNotes {
  const conflicts: string[] = [];
  const ids = new Set([...ours.threads, ...theirs.threads].map(({ id }) => id));
  const [baseById, oursById, theirsById] = [base, ours, theirs].map(
    ({ threads }) => new Map(threads.map((thread) => [thread.id, thread])),
  ) as [Map<string, Thread>, Map<string, Thread>, Map<string, Thread>];
  const threads: Thread[] = [];
  for (const id of ids) {
    const merged = mergeThread(baseById.get(id), oursById.get(id), theirsById.get(id), date, conflicts);
    if (merged) threads.push(merged);
  }
  return { notes: { ...theirs, extra: { ...ours.extra, ...theirs.extra }, threads: inOrder(threads) }, conflicts };
}

function mergeThread(
  base: Thread | undefined,
  ours: Thread | undefined,
  theirs: Thread | undefined,
  date: string,
  conflicts: string[],
): Thread | undefined {
  if (!ours || !theirs) return onOneSide(base, ours ?? theirs);
  if (sameThread(ours, theirs)) return theirs;
  if (base && sameThread(base, ours)) return theirs;
  if (base && sameThread(base, theirs)) return ours;
  const added: Remark[] = [];
  const settle = <T>(what: string, start: T | undefined, own: T, other: T): T => {
    if (own === other || other === start) return own;
    if (own === start) return other;
    const sentence = `The ${what} was also set to '${String(other)}' by somebody else at the same time.`;
    conflicts.push(`Thread ${ours.id}: ${sentence}`);
    added.push({ date, by: '', text: sentence, extra: {} });
    return own;
  };
  const merged: Thread = {
    ...ours,
    source: undefined,
    verdict: settle('verdict', base?.verdict, ours.verdict, theirs.verdict),
    cause: settle('cause', base?.cause, ours.cause, theirs.cause),
    resolved: settle('state of being resolved', base?.resolved, ours.resolved, theirs.resolved),
    extra: { ...theirs.extra, ...ours.extra },
    remarks: [],
  };
  const remarks = [...mergeRemarks(base?.remarks ?? [], ours.remarks, theirs.remarks), ...added];
  return { ...merged, remarks: remarks.sort((a, b) => compareText(a.date, b.date)) };
}

/** A thread that one side lacks: new, or removed by that side; removal counts only where the other left it alone. */
function onOneSide(base: Thread | undefined, there: Thread | undefined): Thread | undefined {
  return base && there && sameThread(base, there) ? undefined : there;
}

function mergeRemarks(base: readonly Remark[], ours: readonly Remark[], theirs: readonly Remark[]): Remark[] {
  const has = (list: readonly Remark[], one: Remark): boolean => list.some((other) => sameRemark(one, other));
  const kept = ours.filter((remark) => has(theirs, remark) || !has(base, remark));
  const others = theirs.filter((remark) => !has(ours, remark) && !has(base, remark));
  return [...kept, ...others];
}

function sameRemark(a: Remark, b: Remark): boolean {
  return a.date === b.date && a.by === b.by && a.text === b.text;
}

function sameThread(a: Thread, b: Thread): boolean {
  return (
    a.verdict === b.verdict &&
    a.cause === b.cause &&
    a.resolved === b.resolved &&
    a.cell === b.cell &&
    a.event === b.event &&
    a.anchor.hash === b.anchor.hash &&
    Object.is(a.anchor.timeS, b.anchor.timeS) &&
    a.anchor.headerLine === b.anchor.headerLine &&
    a.remarks.length === b.remarks.length &&
    a.remarks.every((remark, at) => sameRemark(remark, b.remarks[at]!))
  );
}
