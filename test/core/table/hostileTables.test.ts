// Tables that no logger means to write: endless lines, zero bytes, noise, far too many columns.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { mostColumns } from '../../../src/core/table/rowBlock.ts';
import { blockRowsFor, emptyBlock } from '../../../src/core/table/rowBlock.ts';
import { anyPieces, bytesOf, headerOf, scan } from './scanning.ts';

describe('row scanner, hostile input', () => {
  const two = headerOf(['time', 'a']);
  const mebibyte = 1024 * 1024;

  it('skips a line longer than 16 MiB and reads on', () => {
    const long = new Uint8Array(17 * mebibyte).fill(0x31);
    const { rows, problems, scanner } = scan(two, concat(bytesOf('0,1\n'), long, bytesOf('\n1,2\n')));
    assert.deepEqual(
      rows.map(({ line, offset }) => [line, offset]),
      [
        [1, 0],
        [3, 5 + long.length],
      ],
    );
    assert.deepEqual(
      problems.map(({ code, range }) => [code, range.line]),
      [['line-too-long', 2]],
    );
    assert.equal(scanner.unfinishedBytes, 0);
  });

  it('draws the line at exactly 16 MiB, whatever the pieces', () => {
    for (const [extra, kept] of [
      [0, 2],
      [1, 1],
    ] as const) {
      const padding = new Uint8Array(16 * mebibyte - 4 + extra).fill(0x20);
      const bytes = concat(bytesOf('0,1'), padding, bytesOf('\n1,2\n'));
      for (const sizes of [[], [mebibyte], [999_999]]) {
        assert.equal(scan(two, bytes, { pieces: sizes }).rows.length, kept);
      }
    }
  });

  it('tells of zero bytes where a logger was cut off, small and large', () => {
    for (const size of [5000, 20 * mebibyte]) {
      const { rows, problems } = scan(two, concat(bytesOf('0,1\n1,2\n'), new Uint8Array(size)));
      assert.equal(rows.length, 2);
      assert.deepEqual(
        problems.map(({ code, severity, range }) => [code, severity, range.line]),
        [['binary-data', 'error', 3]],
      );
    }
  });

  it('skips a line with zero bytes between good ones', () => {
    const { rows, problems } = scan(two, '0,1\n1,\0\0\n\0\0\n2,3\n');
    assert.deepEqual(
      rows.map((row) => row.values[0]),
      [0, 2],
    );
    assert.deepEqual(
      problems.map(({ code, range }) => [code, range.line]),
      [
        ['binary-data', 2],
        ['binary-data', 3],
      ],
    );
  });

  it('gives bounded problems and no row for random bytes', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 3000 }), anyPieces, (bytes, sizes) => {
        const { rows, problems } = scan(headerOf(['time', 'a', 'b', 'c', 'd']), bytes, { pieces: sizes });
        for (const { values } of rows) for (const value of values) assert.ok(!(Math.abs(value) === Infinity));
        assert.ok(problems.length <= 16 * 101);
        for (const { range } of problems)
          assert.ok(range.line >= 1 && range.column >= 1 && range.endLine >= range.line);
      }),
      { numRuns: 500 },
    );
  });

  it('reads 100,000 columns in blocks of some mebibytes and refuses a million', () => {
    const count = 100_000;
    const wide = headerOf(['time', ...Array.from({ length: count - 1 }, (_, i) => `c${i}`)]);
    const blockRows = blockRowsFor(count);
    assert.ok(emptyBlock(count, blockRows).values.byteLength < 8 * mebibyte);
    const text = [0, 1, 2].map((t) => `${t}${',12.5'.repeat(count - 1)}\n`).join('');
    const { rows, problems } = scan(wide, text, { blockRows });
    assert.equal(rows.length, 3);
    assert.equal(rows[2]!.values[count - 1], 12.5);
    assert.equal(problems.length, 0);
    const tooMany = { ...two, columns: Array.from({ length: 1_000_000 }, () => two.columns[0]!) };
    assert.ok(tooMany.columns.length > mostColumns);
    assert.throws(() => scan(tooMany, ''), /columns: got 1000000/);
  });
});

function concat(...parts: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}
