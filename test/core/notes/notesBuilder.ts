// Notes for tests: threads on rows at given times, with remarks.
import { addRemark, addThread, threadId } from '../../../src/core/notes/editNotes.ts';
import type { NewThread } from '../../../src/core/notes/editNotes.ts';
import { emptyNotes } from '../../../src/core/notes/notes.ts';
import type { Notes } from '../../../src/core/notes/notes.ts';

/** Who judges in tests, and when. */
export const ada = { date: '2026-03-02T20:11:04Z', by: 'Ada' };

export function onRow(timeS: number, cell = 'B2', event = ''): NewThread {
  return { anchor: { timeS, headerLine: 0, hash: hashFor(timeS) }, cell, event };
}

export function noted(times: readonly number[], text = 'seen'): Notes {
  return times.reduce((notes, timeS) => remarked(notes, onRow(timeS), text), emptyNotes('tray.strain.csv', 'f00d'));
}

export function remarked(notes: Notes, at: NewThread, text: string, by = 'Ada', date = '2026-03-02T20:11:04Z'): Notes {
  return addRemark(addThread(notes, at), threadId(at), { date, by, text });
}

function hashFor(timeS: number): string {
  return (timeS * 7919).toString(16).padStart(16, '0').slice(0, 16);
}
