import assert from 'node:assert/strict';
import { editRemark, removeRemark, threadId } from '../../../src/core/notes/editNotes.ts';
import { emptyNotes } from '../../../src/core/notes/notes.ts';
import type { Notes, Remark } from '../../../src/core/notes/notes.ts';
import { ada, onRow, remarked } from './notesBuilder.ts';

describe('a remark that was seen earlier', () => {
  const at = onRow(100);
  const id = threadId(at);
  const seen: Remark = { ...ada, text: 'mine', extra: {} };
  const wordsOf = (notes: Notes | undefined): string[] | undefined =>
    notes?.threads[0]?.remarks.map(({ text }) => text);
  const mine = remarked(emptyNotes('a.strain.csv', ''), at, 'mine');
  const afterTheirs = remarked(mine, at, 'theirs', 'Bob', '2026-01-01T00:00:00Z');

  it('is found again behind one that came before it', () => {
    assert.deepEqual(wordsOf(editRemark(afterTheirs, id, seen, 'mine, mended')), ['theirs', 'mine, mended']);
    assert.deepEqual(wordsOf(removeRemark(afterTheirs, id, seen)), ['theirs']);
  });

  it('is found by its words among others of the same author in the same second', () => {
    const twice = remarked(remarked(emptyNotes('a.strain.csv', ''), at, 'first'), at, 'mine');
    assert.deepEqual(wordsOf(editRemark(twice, id, seen, 'mended')), ['first', 'mended']);
    assert.equal(editRemark(twice, id, { ...seen, text: 'neither' }, 'mended'), undefined);
  });

  it('is no other one, once it is gone', () => {
    const theirsOnly = removeRemark(afterTheirs, id, seen)!;
    assert.equal(editRemark(theirsOnly, id, seen, 'mended'), undefined);
    assert.equal(removeRemark(theirsOnly, id, seen), undefined);
    assert.equal(editRemark(emptyNotes('a.strain.csv', ''), id, seen, 'mended'), undefined);
  });
});
