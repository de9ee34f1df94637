// Changes of notes: each takes notes and gives new ones, leaving the old as they were. A changed thread loses the lines
// it was read from and is written anew; all others keep theirs.
import { textHash } from './hash.ts';
import { compareText, inOrder } from './notes.ts';
import type { Anchor, Notes, Remark, Thread, Verdict } from './notes.ts';

export interface NewThread {
  readonly anchor: Anchor;
  /** '' where it is about the row as a whole. */
  readonly cell: string;
  /** '' where it is about no event. */
  readonly event: string;
}

/**
 * The id of the thread on a place. It follows from the place alone: two people who note the same event on two branches
 * write the same thread, and merging joins their remarks.
 */
export function threadId({ anchor, cell, event }: NewThread): string {
  const place = anchor.headerLine > 0 ? `line ${anchor.headerLine}` : `time ${anchor.timeS}`;
  return textHash(`${place}\u001f${anchor.hash}\u001f${cell}\u001f${event}`).slice(0, 12);
}

/** Hangs a thread on a place; where one hangs there already, the notes as they are. */
export function addThread(notes: Notes, at: NewThread): Notes {
  const id = threadId(at);
  if (notes.threads.some((thread) => thread.id === id)) return notes;
  const thread: Thread = { ...at, id, verdict: '', judged: [], cause: '', resolved: false, remarks: [], extra: {} };
  return { ...notes, threads: inOrder([...notes.threads, thread]) };
}

/** Adds a remark to a thread. `date` is ISO 8601 in UTC, `by` may be ''. */
export function addRemark(notes: Notes, id: string, remark: Omit<Remark, 'extra'>): Notes {
  return change(notes, id, (thread) => {
    const remarks = [...thread.remarks, { ...remark, extra: {} }];
    return { ...thread, remarks: remarks.sort((a, b) => compareText(a.date, b.date)) };
  });
}

/**
 * Where a remark that was seen earlier stands by now, since others may have come or gone before it: the one of its date
 * and author, whatever its words; where several are, the one of its words too. -1 where none is, or none can be told.
 */
export function indexOfRemark(remarks: readonly Remark[], seen: Remark): number {
  const indexes = remarks.flatMap(({ date, by }, index) => (date === seen.date && by === seen.by ? [index] : []));
  const [only = -1] = indexes;
  return indexes.length > 1 ? (indexes.find((index) => remarks[index]!.text === seen.text) ?? -1) : only;
}

/** Puts another text into a remark that was seen earlier; undefined where it is not there any more. */
export function editRemark(notes: Notes, id: string, seen: Remark, text: string): Notes | undefined {
  return changeRemark(notes, id, seen, (remark) => [{ ...remark, text }]);
}

/** Takes out a remark that was seen earlier; undefined where it is not there any more. */
export function removeRemark(notes: Notes, id: string, seen: Remark): Notes | undefined {
  return changeRemark(notes, id, seen, () => []);
}

/** Puts a verdict, and who gives it, in the place of the one that stands; '' takes back that of everybody. */
export function setVerdict(
  notes: Notes,
  id: string,
  verdict: Verdict | '',
  { date, by }: Pick<Remark, 'date' | 'by'>,
): Notes {
  return change(notes, id, (thread) => {
    if (verdict === '') return { ...thread, verdict, judged: [] };
    const others = thread.judged.filter((one) => one.by !== by);
    const judged = [...others, { date, by, verdict, extra: {} }].sort((a, b) => compareText(a.date, b.date));
    return { ...thread, verdict, judged };
  });
}

export function setCause(notes: Notes, id: string, cause: string): Notes {
  return change(notes, id, (thread) => ({ ...thread, cause }));
}

export function setResolved(notes: Notes, id: string, resolved: boolean): Notes {
  return change(notes, id, (thread) => ({ ...thread, resolved }));
}

export function removeThread(notes: Notes, id: string): Notes {
  return { ...notes, threads: notes.threads.filter((thread) => thread.id !== id) };
}

/** Puts back a thread that was removed, as it was (undo). */
export function restoreThread(notes: Notes, thread: Thread): Notes {
  return { ...notes, threads: inOrder([...removeThread(notes, thread.id).threads, thread]) };
}

/** Says which log the notes belong to; unchanged where it says so already. */
export function setLog(notes: Notes, log: string, fingerprint: string): Notes {
  if (notes.log === log && notes.fingerprint === fingerprint) return notes;
  return { ...notes, log, fingerprint, source: undefined };
}

function changeRemark(
  notes: Notes,
  id: string,
  seen: Remark,
  by: (remark: Remark) => readonly Remark[],
): Notes | undefined {
  const remarks = notes.threads.find((thread) => thread.id === id)?.remarks ?? [];
  const index = indexOfRemark(remarks, seen);
  if (index < 0) return undefined;
  return change(notes, id, (thread) => ({ ...thread, remarks: remarks.toSpliced(index, 1, ...by(remarks[index]!)) }));
}

function change(notes: Notes, id: string, by: (thread: Thread) => Thread): Notes {
  return {
    ...notes,
    threads: notes.threads.map((thread) => (thread.id === id ? { ...by(thread), source: undefined } : thread)),
  };
}
