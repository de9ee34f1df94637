// The scanner against csv-parse, which reads the same bytes as an oracle: same values, same lines, whatever the pieces.
import assert from 'node:assert/strict';
import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { phases } from '../../../src/core/header/logHeader.ts';
import { shiftProblem } from '../../../src/core/table/rowProblems.ts';
import { tableText } from './anyTable.ts';
import { anyPieces, bytesOf, headerOf, scan } from './scanning.ts';

const names = ['time', 'a', 'phase:string', 'remark:string', 'b'];
const header = headerOf(names);

/** What csv-parse and the rules make of a table: values of kept rows with the line on which each begins. */
function oracle(text: string): { line: number; values: number[] }[] {
  const records = parse(text, {
    bom: true,
    comment: '#',
    comment_no_infix: true,
    info: true,
    relax_column_count: true,
    skip_empty_lines: true,
    record_delimiter: ['\r\n', '\n'],
  }) as unknown as { record: string[]; info: { lines: number } }[];
  return records
    .filter(({ record }) => record.length === names.length && !isBadTime(record[0]!))
    .map(({ record, info }) => ({
      // csv-parse tells the line on which a record ends.
      line: info.lines - (record.join('').match(/\n/g)?.length ?? 0),
      values: record.map(valueByRule),
    }));
}

/** Neither a number nor missing: the row is skipped. */
function isBadTime(text: string): boolean {
  return Number.isNaN(valueByRule(text, 0)) && !/^([+-]?nan)?$/i.test(text.trim());
}

function valueByRule(text: string, column: number): number {
  const trimmed = text.trim();
  if (column === 2) return phases.includes(trimmed as never) ? phases.indexOf(trimmed as never) : NaN;
  if (column === 3) return NaN;
  if (!/^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/.test(trimmed)) return NaN;
  const value = Number(trimmed);
  return Number.isFinite(value) ? value : NaN;
}

describe('row scanner', () => {
  it('reads the same values at the same lines as csv-parse and the rules', () => {
    fc.assert(
      fc.property(tableText, anyPieces, fc.integer({ min: 1, max: 9 }), (any, sizes, blockRows) => {
        // Inside quotes csv-parse counts CR LF as two lines; all other breaks it counts as we do.
        const text = any.replace(/"[^"]*"/g, (quoted) => quoted.replaceAll('\r\n', '\n'));
        const { rows } = scan(header, text, { pieces: sizes, blockRows });
        assert.deepEqual(
          rows.map(({ line, values }) => ({ line, values })),
          oracle(text),
        );
      }),
      { numRuns: 3000 },
    );
  });

  it('finds the same rows, offsets, problems and end whatever the pieces', () => {
    fc.assert(
      fc.property(tableText, fc.string({ maxLength: 20 }), anyPieces, (text, tail, sizes) => {
        const whole = scan(header, text + tail, { blockRows: 1000 });
        const parts = scan(header, text + tail, { blockRows: 3, pieces: sizes });
        assert.deepEqual(parts.rows, whole.rows);
        assert.deepEqual(parts.problems, whole.problems);
        assert.deepEqual(parts.scanner.position, whole.scanner.position);
        assert.equal(parts.scanner.unfinishedBytes, whole.scanner.unfinishedBytes);
        assert.equal(parts.scanner.sawQuote, whole.scanner.sawQuote);
      }),
      { numRuns: 2000 },
    );
  });

  it('gives offsets at which reading can begin again', () => {
    fc.assert(
      fc.property(tableText, fc.nat(), (text, pick) => {
        const bytes = bytesOf(text);
        const { rows } = scan(header, bytes);
        if (rows.length === 0) return;
        const from = pick % rows.length;
        const { offset, line } = rows[from]!;
        const again = scan(header, bytes.subarray(offset), { startLine: line, startOffset: offset });
        assert.deepEqual(again.rows, rows.slice(from));
        assert.equal(line, 1 + bytes.subarray(0, offset).filter((byte) => byte === 10).length);
      }),
    );
  });

  it('gives the same when parts are scanned apart, with lines counted from 1 and shifted after', () => {
    const unquoted = tableText.map((text) => text.replaceAll('"', '').replace('\ufeff', ''));
    fc.assert(
      fc.property(unquoted, fc.nat(), (text, pick) => {
        const bytes = bytesOf(text);
        const starts = [...bytes.keys()].filter((at) => at === 0 || bytes[at - 1] === 10);
        const cut = starts[pick % Math.max(1, starts.length)] ?? 0;
        const whole = scan(header, bytes);
        const first = scan(header, bytes.subarray(0, cut));
        const second = scan(header, bytes.subarray(cut), { startOffset: cut });
        const lines = first.scanner.position.line - 1;
        const shifted = second.rows.map((row) => ({ ...row, line: row.line + lines }));
        assert.deepEqual([...first.rows, ...shifted], whole.rows);
        const problems = second.problems.map((problem) => shiftProblem(problem, lines));
        assert.deepEqual([...first.problems, ...problems], whole.problems);
      }),
      { numRuns: 500 },
    );
  });

  it('knows that a quote was seen exactly when there is one in a whole line', () => {
    fc.assert(
      fc.property(tableText, anyPieces, (text, sizes) => {
        assert.equal(scan(header, text, { pieces: sizes }).scanner.sawQuote, text.includes('"'));
      }),
    );
  });

  it('places problems by line and UTF-16 column', () => {
    const { problems } = scan(headerOf(['time', 'ä', 'c:string', 'b']), '# x\n0,1,"é\n𝛼",ab\n1,,x,inf\n', {
      startLine: 21,
    });
    assert.deepEqual(
      problems.map(({ code, severity, range }) => [code, severity, ...Object.values(range)]),
      [
        ['not-a-number', 'error', 23, 5, 23, 7],
        ['infinite-reading', 'warning', 24, 6, 24, 9],
      ],
    );
    assert.match(problems[0]!.message, /'b'.*'ab'/);
  });

  it('tells a time that cannot be read once, with the remedy for stamps in a column of numbers', () => {
    const { rows, problems } = scan(headerOf(['time', 'a']), '2026-03-02T18:00:00,1\ninf,2\n,3\n4,4\n');
    assert.deepEqual(
      rows.map(({ line }) => line),
      [3, 4],
    );
    assert.deepEqual(
      problems.map(({ code, range }) => [code, range.line, range.column]),
      [
        ['bad-time', 1, 1],
        ['bad-time', 2, 1],
      ],
    );
    assert.match(problems[0]!.message, /datatype: string/);
  });

  it('knows rows that have another delimiter than the table, and makes no readings of them', () => {
    const table = headerOf(['time', 'layer', 'a', 'b', 'note:string']);
    const text = [
      ...['0,0,1.5,2.5,a;1', '2,0;0;1,25;-3,75;x,y', '3;0;1.5;2.5;', '4\t0\t1.5\t2.5\t', '5,0,1.5,2.5,"1;2"'],
      ...['6,0,a;b,2.5,', '7,0,1.5,2.5'],
    ].join('\n');
    const { rows, problems } = scan(table, `${text}\n`);
    assert.deepEqual(
      rows.map(({ line }) => line),
      [1, 5, 6],
    );
    assert.deepEqual(
      problems.map(({ code, range }) => [code, range.line]),
      [
        ['other-delimiter', 2],
        ['other-delimiter', 3],
        ['other-delimiter', 4],
        ['not-a-number', 6],
        ['short-row', 7],
      ],
    );
    assert.match(problems[0]!.message, /separated by ';'.*header\.yaml' with table: \{delimiter: ';', decimal: ','\}/);
    assert.match(problems[2]!.message, /separated by tabs.*\{delimiter: tab/);
  });

  it('skips short and long rows and says how many fields there are', () => {
    const { rows, problems } = scan(headerOf(['time', 'a', 'b']), '0,1,2\n1,2\n2,3,4,5\n3,4,5,\n4,5,6\n');
    assert.deepEqual(
      rows.map((row) => row.line),
      [1, 5],
    );
    assert.deepEqual(
      problems.map(({ code, range }) => [code, range.line]),
      [
        ['short-row', 2],
        ['long-row', 3],
        ['long-row', 4],
      ],
    );
    assert.match(problems[0]!.message, /2 of 3 fields/);
    assert.match(problems[1]!.message, /4 fields for 3 columns/);
  });

  it('leaves an unfinished last line unread and says so', () => {
    const { rows, problems, scanner } = scan(headerOf(['time', 'a']), '0,1\n1,2');
    assert.equal(rows.length, 1);
    assert.equal(scanner.unfinishedBytes, 3);
    assert.deepEqual(scanner.position, { line: 2, offset: 4 });
    assert.deepEqual(
      problems.map(({ code, severity }) => [code, severity]),
      [['unfinished-line', 'information']],
    );
  });

  it('loses one line, not the rest, to a quote that is never closed', () => {
    const row = (i: number): string => `${i},${i},ok\n`;
    const many = Array.from({ length: 20_000 }, (_, i) => row(i + 2)).join('');
    const text = `0,0,ok\n1,1,"oh\n${many}`;
    for (const sizes of [[], [4096], [100_000]]) {
      const { rows, problems } = scan(headerOf(['time', 'a', 'remark:string']), text, {
        pieces: sizes,
        blockRows: 500,
      });
      assert.equal(rows.length, 20_001);
      assert.deepEqual(
        problems.map(({ code, range }) => [code, range.line, range.column]),
        [['unclosed-quote', 2, 5]],
      );
    }
  });

  it('takes no quoted field longer than 64 KiB, however it is cut', () => {
    for (const [length, kept] of [
      [65_000, 1],
      [66_000, 0],
    ] as const) {
      const text = `0,"x\n${'y'.repeat(length)}",3\n`;
      for (const sizes of [[], [1000], [65_537, 1]]) {
        const { rows } = scan(headerOf(['time', 'remark:string', 'a']), text, { pieces: sizes });
        assert.equal(rows.length, kept);
      }
    }
  });

  it('loses one line to an open quote near the end of the log', () => {
    const { rows, problems } = scan(headerOf(['time', 'a']), '0,1\n1,"2\n2,3\n3,4\n');
    assert.deepEqual(
      rows.map((row) => row.values[0]),
      [0, 2, 3],
    );
    assert.deepEqual(
      problems.map(({ code }) => code),
      ['unclosed-quote'],
    );
  });

  it('keeps a hundred places for each code and counts the rest', () => {
    const lines = Array.from({ length: 5000 }, (_, i) => (i % 2 ? `${i},x\n` : `${i}\n`)).join('');
    const { problems } = scan(headerOf(['time', 'a']), lines, { pieces: [777] });
    assert.equal(problems.length, 202);
    for (const code of ['short-row', 'not-a-number']) {
      const those = problems.filter((problem) => problem.code === code);
      assert.equal(those.length, 101);
      assert.equal(
        those.reduce((sum, problem) => sum + 1 + (problem.folded ?? 0), 0),
        2500,
      );
    }
  });
});
