import assert from 'node:assert/strict';
import fc from 'fast-check';
import { parse } from 'yaml';
import {
  addRemark,
  addThread,
  removeThread,
  setCause,
  setVerdict,
  threadId,
} from '../../../src/core/notes/editNotes.ts';
import { formatNotes } from '../../../src/core/notes/formatNotes.ts';
import { emptyNotes, verdictGiver, verdicts } from '../../../src/core/notes/notes.ts';
import type { Notes } from '../../../src/core/notes/notes.ts';
import { parseNotes } from '../../../src/core/notes/parseNotes.ts';
import { ada, noted, onRow, remarked } from './notesBuilder.ts';

/** The notes without what only writing needs. */
function plain(notes: Notes): unknown {
  const threads = notes.threads.map((thread) => ({ ...thread, source: undefined }));
  return JSON.parse(JSON.stringify({ ...notes, threads, source: undefined }));
}

describe('the notes file', () => {
  it('reads the example of its format', () => {
    const { notes, problems } = parseNotes(
      [
        'notes: 1',
        'log: tray 7.strain.csv',
        'threads:',
        '  - id: a1',
        '    time: 20391',
        '    cell: B2',
        '    row: "0011223344556677"',
        '    event: release-20391-B2',
        '    verdict: confirmed',
        '    cause: support fracture',
        '    remarks:',
        '      - date: 2026-03-02T20:11:04Z',
        '        by: Ada',
        '        text: |-',
        '          Seen on the camera, **layer 655**.',
        '',
        '          Second paragraph.',
        '',
      ].join('\n'),
    );
    assert.deepEqual(problems, []);
    const [thread] = notes.threads;
    assert.equal(thread?.anchor.timeS, 20391);
    assert.equal(thread.anchor.hash, '0011223344556677');
    assert.equal(thread.verdict, 'confirmed');
    assert.equal(thread.remarks[0]?.text, 'Seen on the camera, **layer 655**.\n\nSecond paragraph.');
  });

  it('gives back any notes whatever their words', () => {
    const words = fc.oneof(
      fc.string({ maxLength: 60 }),
      fc.string({ unit: 'binary', maxLength: 30 }),
      fc.constantFrom(
        'no',
        '1e3',
        '~',
        '- x',
        'a: b',
        '# c',
        ' lead',
        'trail ',
        'a\n\n  b\n',
        '\n',
        '"',
        '|',
        'x\n#y',
        'ä — µ',
      ),
    );
    const line = words.map((text) => text.replace(/[\r\n]/g, ' '));
    const thread = fc.record({
      judge: line,
      timeS: fc.double({ min: 0, max: 1e6, noNaN: true }),
      cell: fc.constantFrom('', 'B2', 'no', '07'),
      verdict: fc.constantFrom('' as const, ...verdicts),
      cause: words,
      texts: fc.array(fc.record({ by: line, text: words }), {
        maxLength: 3,
      }),
    });
    fc.assert(
      fc.property(
        fc.array(thread, { maxLength: 6 }),
        fc.constantFrom('\n' as const, '\r\n' as const),
        (list, lineBreak) => {
          let notes: Notes = { ...emptyNotes('a.strain.csv', 'abcd'), lineBreak };
          for (const { timeS, cell, verdict, judge, cause, texts } of list) {
            const at = onRow(timeS, cell);
            const given = { date: '2026-01-01T00:00:00Z', by: judge };
            notes = setVerdict(addThread(notes, at), threadId(at), verdict, given);
            notes = setCause(notes, threadId(at), unixText(cause));
            texts.forEach(({ by, text }, n) => {
              const date = `2026-01-01T00:00:0${n}Z`;
              notes = addRemark(notes, threadId(at), { date, by, text: unixText(text) });
            });
          }
          const text = formatNotes(notes);
          const reading = parseNotes(text);
          assert.deepEqual(reading.problems, []);
          assert.deepEqual(plain(reading.notes), plain(notes));
          assert.equal(formatNotes(reading.notes), text, 'written as read');
        },
      ),
      { numRuns: 300 },
    );
  });

  it('is YAML that another reading of it agrees with', () => {
    const text = formatNotes(setVerdict(noted([5]), threadId(onRow(5)), 'unsure', ada));
    const read = parse(text) as { threads: { time: number; verdict: string; remarks: { text: string }[] }[] };
    assert.equal(read.threads[0]?.time, 5);
    assert.equal(read.threads[0]?.verdict, 'unsure');
    assert.equal(read.threads[0]?.remarks[0]?.text, 'seen');
  });

  it('changes only the lines of the thread that changed', () => {
    const before = formatNotes(noted([100, 200, 300]));
    const after = formatNotes(setVerdict(parseNotes(before).notes, threadId(onRow(200)), 'confirmed', ada));
    assert.deepEqual(
      after.split('\n').filter((line) => !before.split('\n').includes(line)),
      [
        '    judged:',
        '      - { date: "2026-03-02T20:11:04Z", by: Ada, verdict: confirmed }',
        '    verdict: confirmed',
      ],
    );
    assert.equal(after.split('\n').length, before.split('\n').length + 3);
  });

  it("leaves a person's own comments and line breaks where they wrote them", () => {
    const own = formatNotes(noted([100, 200]))
      .replace('  - id', '  # the odd one\n  - id')
      .replace(/text: seen\n$/, 'text: >-\n          seen\n          there # not a comment\n');
    const read = parseNotes(own);
    assert.deepEqual(read.problems, []);
    const after = formatNotes(remarked(read.notes, onRow(150), 'between'));
    assert.ok(after.includes('  # the odd one\n  - id'));
    assert.ok(after.endsWith('text: >-\n          seen\n          there # not a comment\n'));
    assert.equal(parseNotes(after).notes.threads.length, 3);
  });

  it('keeps a comment with its thread when the thread above is removed', () => {
    const own = formatNotes(noted([100, 200])).replace(/ {2}- id: (\w+)\n {4}time: 200/, '  # about two\n$&');
    const after = formatNotes(removeThread(parseNotes(own).notes, threadId(onRow(100))));
    assert.ok(after.includes('  # about two\n  - id'));
    assert.equal(parseNotes(after).notes.threads.length, 1);
  });

  it('reads a file laid out otherwise and writes it in its own way', () => {
    const flow = 'notes: 1\nthreads: [{id: a, time: 3, remarks: []}, {id: b, time: 1}]\n';
    const { notes, problems } = parseNotes(flow);
    assert.deepEqual(problems, []);
    assert.deepEqual(
      notes.threads.map(({ id }) => id),
      ['b', 'a'],
    );
    assert.equal(formatNotes(notes), 'notes: 1\nthreads:\n  - id: b\n    time: 1\n  - id: a\n    time: 3\n');
  });

  it('keeps keys it does not know, and says so', () => {
    const text = 'notes: 1\nlater: x\nthreads:\n  - id: a\n    time: 3\n    verdit: confirmed\n';
    const { notes, problems } = parseNotes(text);
    assert.deepEqual(
      problems.map(({ code, severity }) => [code, severity]),
      [
        ['notes-unknown-key', 'warning'],
        ['notes-unknown-key', 'warning'],
      ],
    );
    assert.deepEqual(problems[1]?.range, { line: 6, column: 5, endLine: 6, endColumn: 11 });
    const written = formatNotes(setVerdict(notes, 'a', 'unsure', ada));
    assert.ok(written.includes('later: x') && written.includes('verdit: confirmed'));
  });

  it('keeps the latest verdict of each person', () => {
    const id = threadId(onRow(5));
    let notes = setVerdict(noted([5]), id, 'unsure', ada);
    notes = setVerdict(notes, id, 'confirmed', { by: 'Bo', date: '2026-03-03T00:00:00Z' });
    notes = setVerdict(notes, id, 'false-alarm', { by: 'Ada', date: '2026-03-04T00:00:00Z' });
    const [thread] = parseNotes(formatNotes(notes)).notes.threads;
    assert.deepEqual(
      thread?.judged.map(({ by, verdict }) => [by, verdict]),
      [
        ['Bo', 'confirmed'],
        ['Ada', 'false-alarm'],
      ],
    );
    assert.equal(verdictGiver(thread!)?.date, '2026-03-04T00:00:00Z');
    const taken = setVerdict(notes, id, '', ada);
    assert.deepEqual(parseNotes(formatNotes(taken)).notes.threads[0]?.judged, []);
  });

  it('writes a thread on a place only once', () => {
    const notes = addThread(noted([5]), onRow(5));
    assert.equal(notes.threads.length, 1);
  });
});

/** The file's own line breaks are its business; a text's are \n. */
function unixText(text: string): string {
  return text.replace(/\r\n?/g, '\n');
}
