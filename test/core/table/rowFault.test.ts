// Why a record is no row: told from the record alone, so that a log full of bad rows costs no more than one of good ones.
import assert from 'node:assert/strict';
import { faultOfRow } from '../../../src/core/table/rowFault.ts';
import type { ReadRecord } from '../../../src/core/table/rowFault.ts';
import { bytesOf } from './scanning.ts';

/** Bytes that fail where anything at `to` or beyond is looked at, or might be by a search of them all. */
function guarded(bytes: Uint8Array, to: number): Uint8Array {
  return new Proxy(bytes, {
    get(target, key) {
      if (key === 'subarray') {
        return (from: number, end: number) => {
          assert.ok(end <= to, `bytes up to ${end} are taken, the record ends at ${to}`);
          return target.subarray(from, end);
        };
      }
      const at = Number(String(key));
      assert.ok(Number.isInteger(at) && at < to, `'${String(key)}' looks beyond the record's end at ${to}`);
      return target[at];
    },
  });
}

describe('the fault of a record', () => {
  const record = (text: string, troubled: string, delimiter = ','): ReadRecord => {
    const before = '1,2,3\n';
    const from = before.length;
    const to = from + text.length;
    const at = before.length + text.indexOf(troubled);
    return {
      bytes: guarded(bytesOf(`${before}${text}${'7,8,9\n'.repeat(50)}4;5\t6\n`), to),
      from,
      to,
      count: text.split(delimiter).length,
      columns: 3,
      dirty: true,
      troubles: [{ code: 'not-a-number', column: 1, from: at, to: at + troubled.length }],
      delimiter,
    };
  };
  const cases: readonly (readonly [text: string, troubled: string, delimiter: string, code: string | undefined])[] = [
    ['4,n/a,6\n', 'n/a', ',', undefined],
    ['4,;,6\n', ';', ',', undefined],
    ['4,5;,6\n', '5;', ',', undefined],
    ['4,5;5,6\n', '5;5', ',', 'other-delimiter'],
    ['4;5;6\n', '5', ',', 'other-delimiter'],
    ['4\t-5\t6\n', '-5', ';', 'other-delimiter'],
    ['4,5\n', '5', ',', 'short-row'],
    ['4,5,6,7\n', '5', ',', 'long-row'],
    ['4,0,5,25,6,125\n', '5', ',', 'decimal-comma'],
    ['4,5,25,-6,125\n', '5', ',', 'decimal-comma'],
    ['4,0,5,2e-3,6,5\r\n', '5', ',', 'decimal-comma'],
    ['4.0,5,6,7,8\n', '5', ',', 'long-row'],
    ['4,5,6,7,8,9,10\n', '5', ',', 'long-row'],
    ['4,5,6,n/a,8\n', '5', ',', 'long-row'],
    ['4;0;5;25;6;125\n', '5', ';', 'long-row'],
    ['4,5,6;', '6;', ',', undefined],
    // Marks of a conflict as git's manual shows them (git-merge, "How conflicts are presented"), also of the style `diff3`.
    ['<<<<<<< HEAD\n', 'HEAD', ',', 'merge-conflict'],
    ['||||||| 1a2b3c4\r\n', '1a2b3c4', ',', 'merge-conflict'],
    ['=======\n', '=', ',', 'merge-conflict'],
    ['>>>>>>> 1a2b3c4 (cells, B1;2 and 4)\n', 'cells', ',', 'merge-conflict'],
    ['<<<<<<\n', '<', ',', 'short-row'],
    ['========\n', '=', ',', 'short-row'],
  ];
  for (const [text, troubled, delimiter, code] of cases) {
    it(`of ${JSON.stringify(text)} is ${code ?? 'none'}, by its own bytes alone`, () => {
      assert.equal(faultOfRow(record(text, troubled, delimiter))?.code, code);
    });
  }
});
