import assert from 'node:assert/strict';
import { removeThread, setVerdict, threadId } from '../../../src/core/notes/editNotes.ts';
import { formatNotes } from '../../../src/core/notes/formatNotes.ts';
import { parseNotes } from '../../../src/core/notes/parseNotes.ts';
import { rereadNotes } from '../../../src/core/notes/rereadNotes.ts';
import { ada, noted, onRow, remarked } from './notesBuilder.ts';

describe('reading notes again', () => {
  const text = formatNotes(noted([100, 200, 300], 'several\n\n  - lines\nof text'));
  const { notes } = parseNotes(text);
  const changes: readonly (readonly [string, string])[] = [
    ['nothing changed', text],
    ['a thread changed', formatNotes(setVerdict(notes, threadId(onRow(200)), 'unsure', ada))],
    ['a thread came', formatNotes(remarked(notes, onRow(250), 'new'))],
    ['a thread went', formatNotes(removeThread(notes, threadId(onRow(100))))],
    ['all went', 'notes: 1\nthreads: []\n'],
    ['a thread stands twice', `${text}${notes.threads[0]?.source ?? ''}`],
    ['a fault came', text.replace('time: 200', 'time: soon')],
    ['a comment came', text.replace('  - id', '  # first\n  # of all\n  - id')],
    ['a merge conflict came', text.replace('  - id', '<<<<<<< a\n  - id')],
    ['the head changed', text.replace('log: tray', 'log: plate')],
    ['the line ends changed', text.replace(/\n/g, '\r\n')],
  ];
  for (const [title, after] of changes) {
    it(`gives what reading the whole gives: ${title}`, () => {
      assert.deepEqual(rereadNotes(after, notes), parseNotes(after));
    });
  }
});
