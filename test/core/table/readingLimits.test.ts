// Readings that no sensor can give count as missing and are told at their place, whatever the chunks.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { analyse } from '../../../src/core/session.ts';
import { bytesOf, headerOf, scan } from './scanning.ts';

function limited(names: readonly string[], possible: Record<string, readonly [number, number, boolean]>) {
  const header = headerOf(names);
  const columns = header.columns.map((column) => {
    const limits = possible[column.name];
    return limits
      ? { ...column, unit: 'nm', possible: { above: limits[0], below: limits[1], whole: limits[2] } }
      : column;
  });
  return { ...header, columns };
}

describe('readings that cannot be', () => {
  const header = limited(['time', 'layer', 'a', 'b'], { layer: [-10, 10, true], a: [1, 2, false] });
  const text = [
    ...['0,1,1.5,1e300', '1,0.5,1.5,7', '2,1,1e37,7', '', '3,1,"1e37",7', '4,1,,7', '5,1,1,7', '6,1,2,7'],
    ...['7,10,1.999,7', '8,-9,1.001,7', '9,x,-1.5,7', '10,3,nan,7'],
  ].join('\n');

  it('count as missing, and all else stays as it is', () => {
    const { rows } = scan(header, `${text}\n`);
    const expected = [...[1.5, 1.5, NaN, NaN, NaN, NaN, NaN, 1.999, 1.001, NaN, NaN]];
    assert.deepEqual(
      rows.map(({ values }) => values[2]),
      expected,
    );
    assert.deepEqual(
      rows.map(({ values }) => values[1]),
      [1, NaN, 1, 1, 1, 1, 1, NaN, -9, NaN, 3],
    );
    assert.equal(rows[0]!.values[3], 1e300, 'a column of which nothing is known');
  });

  it('are told at line and column with the remedy', () => {
    const { problems } = scan(header, `${text}\n`);
    const told = problems.filter(({ code }) => code === 'impossible-reading' || code === 'bad-layer');
    assert.deepEqual(
      told.map(({ code, range }) => [code, range.line, range.column, range.endColumn]).sort((a, b) => +a[1]! - +b[1]!),
      [
        ['bad-layer', 2, 3, 6],
        ['impossible-reading', 3, 5, 9],
        ['impossible-reading', 5, 5, 11],
        ['impossible-reading', 7, 5, 6],
        ['impossible-reading', 8, 5, 6],
        ['bad-layer', 9, 3, 5],
        ['impossible-reading', 11, 5, 9],
      ],
    );
    const [layer, reading] = [
      told.find(({ code }) => code === 'bad-layer')!,
      told.find(({ range }) => range.line === 3)!,
    ];
    assert.match(layer.message, /Column 'layer': '0\.5' is no layer.*Write a whole number from -9 to 9/);
    assert.match(reading.message, /Column 'a': '1e37' is beyond.*\(1 to 2 nm\).*Leave the field empty/);
  });

  it('are the same in any chunks and blocks', () => {
    const long = Array.from({ length: 400 }, (_, i) => `${i},${i % 3 === 0 ? 0.5 : 1},${i % 2 === 0 ? 9 : 1.5},"${i}"`);
    const whole = scan(header, `${long.join('\n')}\n`, { blockRows: 1000 });
    for (const pieces of [[1], [7, 3], [64]]) {
      for (const blockRows of [7, 50]) {
        const cut = scan(header, `${long.join('\n')}\n`, { pieces, blockRows });
        assert.deepEqual(cut.rows, whole.rows);
        assert.deepEqual(cut.problems, whole.problems);
      }
    }
    assert.equal(whole.problems.filter(({ code }) => code === 'bad-layer').length, 101);
  });

  it('spoil nothing that follows: a fill value is an empty field', () => {
    const log = readFileSync(new URL('../../../sample-logs/release.strain.csv', import.meta.url), 'utf8').split('\n');
    const at = log.findIndex((line) => !line.startsWith('#')) + 1 + 1000;
    const withField = (text: string): string =>
      log.map((line, n) => (n === at ? line.replace(/^((?:[^,]*,){3})[^,]*/, `$1${text}`) : line)).join('\n');
    const empty = analyse(bytesOf(withField('')));
    for (const fill of ['1e37', '-1e300', '0', '9999']) {
      const filled = analyse(bytesOf(withField(fill)));
      assert.deepEqual(
        filled.events.map(({ message, line }) => [message, line]),
        empty.events.map(({ message, line }) => [message, line]),
        fill,
      );
      assert.equal(filled.problems.filter(({ code }) => code === 'impossible-reading').length, 1);
    }
  });
});
