import assert from 'node:assert/strict';
import type { StrainEvent } from '../../../src/core/change/events.ts';
import type { LogHeader } from '../../../src/core/header/logHeader.ts';
import { addThread, setCause, setVerdict, threadId } from '../../../src/core/notes/editNotes.ts';
import { judgeEvents } from '../../../src/core/notes/judge.ts';
import { emptyNotes } from '../../../src/core/notes/notes.ts';
import type { Notes, Verdict } from '../../../src/core/notes/notes.ts';
import { ada, onRow } from './notesBuilder.ts';

const header = { cells: [{ name: 'A1' }, { name: 'B2' }] } as unknown as LogHeader;

function event(id: string, timeS: number, cell: number): StrainEvent {
  return { id, timeS, detectedTimeS: timeS + 2, cells: [{ cell }] } as unknown as StrainEvent;
}

function judged(notes: Notes, timeS: number, cell: string, id: string, verdict: Verdict, cause = ''): Notes {
  const at = onRow(timeS, cell, id);
  return setCause(setVerdict(addThread(notes, at), threadId(at), verdict, ada), threadId(at), cause);
}

describe('the verdict on an event', () => {
  const events = [event('e1', 100, 1), event('e2', 500, 0)];
  const none = emptyNotes('a', '');

  it('is none without a thread', () => {
    assert.deepEqual(
      judgeEvents(events, header, none).map(({ verdict }) => verdict),
      ['', ''],
    );
  });

  it('is the one of the thread that names it, wherever that hangs', () => {
    const notes = judged(none, 9, 'A1', 'e1', 'false-alarm', 'door opened');
    const [first, second] = judgeEvents(events, header, notes);
    assert.deepEqual([first?.verdict, first?.cause, second?.verdict], ['false-alarm', 'door opened', '']);
  });

  it('is a false alarm only if nobody says otherwise', () => {
    const notes = judged(judged(none, 100, 'B2', 'e1', 'false-alarm'), 101, 'B2', 'e1', 'unsure');
    assert.equal(judgeEvents(events, header, notes)[0]?.verdict, 'unsure');
    assert.equal(judgeEvents(events, header, judged(notes, 102, '', 'e1', 'confirmed'))[0]?.verdict, 'confirmed');
  });

  it('follows an event whose id changed, by time and cell, but not to another cell or time', () => {
    const verdictOf = (timeS: number, cell: string): string =>
      judgeEvents(events, header, judged(none, timeS, cell, 'gone', 'false-alarm'))[0]!.verdict;
    assert.equal(verdictOf(100, 'B2'), 'false-alarm');
    assert.equal(verdictOf(104, ''), 'false-alarm');
    assert.equal(verdictOf(100, 'A1'), '');
    assert.equal(verdictOf(300, 'B2'), '');
  });

  it('is not taken from a thread that is about a row and no event', () => {
    assert.equal(judgeEvents(events, header, judged(none, 100, 'B2', '', 'false-alarm'))[0]?.verdict, '');
  });
});
