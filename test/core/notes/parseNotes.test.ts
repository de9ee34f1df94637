import assert from 'node:assert/strict';
import { addRemark, addThread, threadId } from '../../../src/core/notes/editNotes.ts';
import { formatNotes } from '../../../src/core/notes/formatNotes.ts';
import { emptyNotes } from '../../../src/core/notes/notes.ts';
import { parseNotes } from '../../../src/core/notes/parseNotes.ts';
import { processWarnings } from '../../support/processWarnings.ts';
import { noted, onRow } from './notesBuilder.ts';

/** Problems of a text as `line:column-endColumn code`, and the words each range covers. */
function problemsOf(text: string): string[] {
  const lines = text.split('\n');
  return parseNotes(text).problems.map(({ range, code }) => {
    const { line, column, endLine, endColumn } = range;
    const covered = lines[line - 1]!.slice(column - 1, endLine === line ? endColumn - 1 : undefined);
    return `${line}:${column} ${code} '${covered}'`;
  });
}

const head = 'notes: 1\nthreads:\n';

describe('problems of a notes file', () => {
  it('has none in an empty file', () => {
    assert.deepEqual(parseNotes(''), {
      notes: { ...emptyNotes('', ''), lineBreak: '\n' },
      problems: [],
      writable: true,
    });
  });

  it('are told as such alone', () => {
    const text = `${head}  - id: a\n    time: 3\n    ? [x]\n    : 1\n`;
    assert.deepEqual(
      processWarnings(() => assert.equal(problemsOf(text).length, 1)),
      [],
    );
  });

  const cases: readonly (readonly [string, string, readonly string[]])[] = [
    [
      'a verdict that is none',
      `${head}  - id: a\n    time: 3\n    verdict: maybe\n`,
      ["5:14 notes-wrong-value 'maybe'"],
    ],
    ['no time and no header line', `${head}  - id: a\n`, ["3:5 notes-wrong-value 'id: a'"]],
    ['a time that is no number', `${head}  - id: a\n    time: soon\n`, ["4:11 notes-wrong-value 'soon'"]],
    [
      'a name that YAML takes for a number',
      `${head}  - id: a\n    time: 3\n    cell: 12\n`,
      ["5:11 notes-needs-quotes '12'"],
    ],
    ['a thread without its id', `${head}  - time: 3\n`, ["3:5 notes-missing-key 'time: 3'"]],
    [
      'a remark without its text',
      `${head}  - id: a\n    time: 3\n    remarks:\n      - date: 2026-01-01T00:00:00Z\n`,
      ["6:9 notes-missing-key 'date: 2026-01-01T00:00:00Z'"],
    ],
    [
      'a date that is none',
      `${head}  - id: a\n    time: 3\n    remarks:\n      - date: yesterday\n        text: x\n`,
      ["6:15 notes-wrong-value 'yesterday'"],
    ],
    ['another version', 'notes: 2\nthreads: []\n', ["1:8 notes-wrong-value '2'"]],
    ['an id used twice', `${head}  - id: a\n    time: 3\n  - id: a\n    time: 4\n`, ["5:9 notes-repeated-id 'a'"]],
    ['a list instead of notes', '- a\n', ["1:1 notes-missing-key '- a'"]],
    ['threads that are no list', 'notes: 1\nthreads: 5\n', ["2:10 notes-wrong-value '5'"]],
    [
      'a verdict that none of its judges gave',
      `${head}  - id: a\n    time: 3\n    verdict: false-alarm\n    judged:\n      - {date: 2026-01-01T00:00:00Z, by: Ben, verdict: confirmed}\n      - {date: 2026-01-02T00:00:00Z, by: Anna, verdict: unsure}\n`,
      ["5:14 notes-verdict-not-given 'false-alarm'"],
    ],
    [
      'judges without a verdict',
      `${head}  - id: a\n    time: 3\n    judged:\n      - {date: 2026-01-01T00:00:00Z, by: Ben, verdict: confirmed}\n`,
      ["6:7 notes-verdict-not-given '- {date: 2026-01-01T00:00:00Z, by: Ben, verdict: confirmed}'"],
    ],
    ['broken YAML', `${head}  - id: 'a\n    time: 3\n`, ["5:1 notes-syntax ''"]],
    ['a key written twice', `${head}  - id: a\n    time: 3\n    time: 4\n`, ["5:5 notes-syntax 'time'"]],
  ];
  for (const [title, text, expected] of cases) {
    it(`points at ${title}`, () => {
      assert.deepEqual(problemsOf(text), expected);
      assert.equal(parseNotes(text).writable, false);
    });
  }

  it('takes a verdict of one of several who judged, or of nobody in particular', () => {
    const judged = `    judged:\n      - {date: 2026-01-01T00:00:00Z, by: Ben, verdict: confirmed}\n      - {date: 2026-01-02T00:00:00Z, verdict: unsure}\n`;
    for (const [verdict, whom] of [
      ['confirmed', judged],
      ['unsure', judged],
      ['false-alarm', ''],
    ] as const) {
      assert.deepEqual(problemsOf(`${head}  - id: a\n    time: 3\n    verdict: ${verdict}\n${whom}`), []);
    }
  });

  it('offers quotes where they are wanting', () => {
    const fix = parseNotes(`${head}  - id: a\n    time: 3\n    cell: 07\n`).problems[0]?.fixes?.[0];
    assert.equal(fix?.newText, '"07"');
  });

  it('finds each mark of a merge conflict and reads nothing into it', () => {
    const text = `${head}<<<<<<< HEAD\n  - id: a\n=======\n  - id: b\n>>>>>>> other\n`;
    const reading = parseNotes(text);
    assert.deepEqual(
      reading.problems.map(({ range, code }) => [range.line, code]),
      [
        [3, 'notes-conflict'],
        [5, 'notes-conflict'],
        [7, 'notes-conflict'],
      ],
    );
    assert.equal(reading.writable, false);
    assert.equal(reading.notes.threads.length, 0);
  });

  it('takes a rule of equal signs in a remark for what it is', () => {
    const at = onRow(1);
    const notes = addRemark(addThread(emptyNotes('a', ''), at), threadId(at), {
      date: '2026-01-01T00:00:00Z',
      by: '',
      text: 'Title\n=======\n<<<<<<< x',
    });
    assert.deepEqual(parseNotes(formatNotes(notes)).problems, []);
  });

  it('still reads the sound threads beside a faulty one', () => {
    const text = `${head}  - id: a\n    time: 3\n    verdict: maybe\n  - id: b\n    time: 4\n    verdict: confirmed\n`;
    assert.deepEqual(
      parseNotes(text).notes.threads.map(({ id, verdict }) => [id, verdict]),
      [['b', 'confirmed']],
    );
  });

  it('refuses references that blow up', () => {
    const bomb = `notes: 1\na: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\nthreads: []\n`;
    assert.equal(parseNotes(bomb).writable, false);
  });

  it('reads a byte order mark and CRLF, and writes CRLF back', () => {
    const text = `\uFEFF${formatNotes(noted([1]))}`.replace(/\n/g, '\r\n');
    const { notes, problems } = parseNotes(text);
    assert.deepEqual(problems, []);
    assert.equal(formatNotes(notes), text.slice(1));
  });

  it('reads ten thousand threads whole', () => {
    const notes = noted(Array.from({ length: 10_000 }, (_, at) => at / 4));
    const text = formatNotes(notes);
    const start = performance.now();
    const reading = parseNotes(text);
    console.log(`      10 000 threads, ${text.length} bytes: read in ${Math.round(performance.now() - start)} ms`);
    assert.deepEqual(reading.problems, []);
    assert.equal(reading.notes.threads.length, 10_000);
    assert.equal(formatNotes(reading.notes), text);
  });
});
