import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setVerdict, threadId } from '../../../src/core/notes/editNotes.ts';
import { formatNotes } from '../../../src/core/notes/formatNotes.ts';
import type { Notes } from '../../../src/core/notes/notes.ts';
import { parseNotes } from '../../../src/core/notes/parseNotes.ts';
import { ada, noted, onRow, remarked } from './notesBuilder.ts';

const base = noted([100, 200, 300]);

/** Each thread as its time, verdict, cause and texts. */
function told(notes: Notes): string[] {
  return notes.threads.map(({ anchor, verdict, cause, remarks }) =>
    [anchor.timeS, verdict, cause, ...remarks.map(({ text }) => text)].join('|'),
  );
}

describe('notes on two git branches', () => {
  let folder = '';
  const file = 'tray.strain.csv.notes.yaml';
  const git = (...args: string[]): string =>
    execFileSync('git', ['-c', 'user.name=t', '-c', 'user.email=t@example.org', ...args], {
      cwd: folder,
      encoding: 'utf8',
    });

  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'notes-'));
    git('init', '-q', '-b', 'main');
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));

  function commit(notes: Notes): void {
    writeFileSync(join(folder, file), formatNotes(notes));
    git('add', '-A');
    git('commit', '-q', '-m', 'notes');
  }

  /** Merges `theirs` into `ours`, both made from `start`; the merged file. */
  function merge(start: Notes, ours: Notes, theirs: Notes): string {
    commit(start);
    const first = git('rev-parse', 'HEAD').trim();
    commit(ours);
    git('checkout', '-q', '-b', 'other', first);
    commit(theirs);
    git('checkout', '-q', 'main');
    try {
      git('merge', '-q', '-m', 'merged', 'other');
    } catch {
      // A conflict leaves its marks in the file, which is what is then looked at.
    }
    return readFileSync(join(folder, file), 'utf8');
  }

  const stored = (notes: Notes): Notes => parseNotes(formatNotes(notes)).notes;
  const ours = remarked(stored(base), onRow(150), 'ours\n\nin two paragraphs');
  const theirs = setVerdict(stored(base), threadId(onRow(300)), 'confirmed', ada);
  const expected = ['100|||seen', '150|||ours\n\nin two paragraphs', '200|||seen', '300|confirmed||seen'];

  for (const [order, a, b] of [
    ['ours first', ours, theirs],
    ['theirs first', theirs, ours],
  ] as const) {
    it(`join without a conflict: ${order}`, () => {
      const { notes, problems } = parseNotes(merge(base, a, b));
      assert.deepEqual(problems, []);
      assert.deepEqual(told(notes), expected);
    });
  }

  // Both write into the same gap: git asks, unless the repository says `merge=union` for notes (README).
  const near = remarked(stored(base), onRow(160), 'theirs, near', 'Bo');
  for (const [order, a, b] of [
    ['ours first', ours, near],
    ['theirs first', near, ours],
  ] as const) {
    it(`with union merging join even new threads side by side: ${order}`, () => {
      writeFileSync(join(folder, '.gitattributes'), '*.notes.yaml merge=union\n');
      const { notes, problems } = parseNotes(merge(base, a, b));
      assert.deepEqual(problems, []);
      assert.deepEqual(told(notes).slice(1, 3), ['150|||ours\n\nin two paragraphs', '160|||theirs, near']);
    });

    it(`without it leave marks that are told, with their places: ${order}`, () => {
      const text = merge(base, a, b);
      const { problems, writable } = parseNotes(text);
      assert.equal(writable, false);
      const marked = text.split('\n').flatMap((line, at) => (/^(<{7}|={7}|>{7})/.test(line) ? at + 1 : []));
      assert.deepEqual(
        problems.map(({ range }) => range.line),
        marked,
      );
      assert.ok(marked.length >= 3);
    });
  }

  it('with union merging, two that note the same event become one thread with both remarks', () => {
    writeFileSync(join(folder, '.gitattributes'), '*.notes.yaml merge=union\n');
    const event = onRow(240, 'B2', 'release-240-B2');
    const judged = (by: string, at: string): Notes =>
      setVerdict(remarked(stored(base), event, `says ${by}`, by, at), threadId(event), 'confirmed', {
        date: at,
        by,
      });
    const text = merge(base, judged('Ada', '2026-04-01T00:00:00Z'), judged('Bo', '2026-04-02T00:00:00Z'));
    const { notes, problems } = parseNotes(text);
    assert.deepEqual(problems, []);
    assert.equal(told(notes)[2], '240|confirmed||says Ada|says Bo');
    assert.deepEqual(
      notes.threads[2]?.judged.map(({ by, date }) => [by, date]),
      [
        ['Ada', '2026-04-01T00:00:00Z'],
        ['Bo', '2026-04-02T00:00:00Z'],
      ],
    );
  });

  it('with union merging, two verdicts on one event are told, not one of them dropped', () => {
    writeFileSync(join(folder, '.gitattributes'), '*.notes.yaml merge=union\n');
    const event = onRow(240, 'B2', 'release-240-B2');
    const judged = (verdict: 'confirmed' | 'false-alarm', at: string): Notes =>
      setVerdict(remarked(stored(base), event, verdict, 'Ada', at), threadId(event), verdict, { ...ada, date: at });
    const text = merge(
      base,
      judged('confirmed', '2026-04-01T00:00:00Z'),
      judged('false-alarm', '2026-04-02T00:00:00Z'),
    );
    assert.ok(text.includes('verdict: confirmed') && text.includes('verdict: false-alarm'));
    const { problems, writable } = parseNotes(text);
    assert.equal(writable, false);
    assert.match(problems[0]?.message ?? '', /keep one/);
  });
});
