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

/** Puts another text into the remark at `index`. */
export function editRemark(notes: Notes, id: string, index: number, text: string): Notes {
  return change(notes, id, (thread) => ({
    ...thread,
    remarks: thread.remarks.map((remark, at) => (at === index ? { ...remark, text } : remark)),
  }));
}

export function removeRemark(notes: Notes, id: string, index: number): Notes {
  return change(notes, id, (thread) => ({ ...thread, remarks: thread.remarks.filter((_, at) => at !== index) }));
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

function change(notes: Notes, id: string, by: (thread: Thread) => Thread): Notes {
  return {
    ...notes,
    threads: notes.threads.map((thread) => (thread.id === id ? { ...by(thread), source: undefined } : thread)),
  };
}
