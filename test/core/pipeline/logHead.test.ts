// The head of a foreign table, whose row of names follows lines of anything.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { headerLimit } from '../../../src/core/header/headerEnd.ts';
import { LogHead } from '../../../src/core/pipeline/logHead.ts';
import type { HeadResult } from '../../../src/core/pipeline/logHead.ts';

const sample = new URL('../../../sample-logs/foreign-table.csv', import.meta.url);
const companion = {
  text: readFileSync(new URL(`${sample.href}.header.yaml`), 'utf8'),
  name: 'foreign-table.csv.header.yaml',
};

function headOf(bytes: Uint8Array): HeadResult {
  const head = new LogHead({ settings: {}, companion });
  return head.push(bytes) ?? head.finish();
}

describe('the head of a foreign table', () => {
  const bytes = new Uint8Array(readFileSync(sample));
  const lines = readFileSync(sample, 'latin1').split('\n');
  const names = lines.findIndex((line) => line.includes(';') && line.includes('_T'));

  it('is read whatever the pieces, and its rows begin after the row of names', () => {
    const whole = headOf(bytes).basis!;
    assert.equal(whole.bodyLine, names + 2);
    const head = new LogHead({ settings: {}, companion });
    let result: HeadResult | undefined;
    for (let at = 0; !result; at += 97) result = head.push(bytes.subarray(at, at + 97));
    assert.deepEqual(result.basis, whole);
  });

  it('may end with its row of names, without a line break', () => {
    const text = lines
      .slice(0, names + 1)
      .join('\n')
      .replace(/\r$/, '');
    const { parsed } = headOf(new TextEncoder().encode(text));
    assert.deepEqual(parsed.problems, headOf(bytes).parsed.problems);
  });

  it('tells of names that are not UTF-8, at the line of the names', () => {
    const spoilt = Uint8Array.from(bytes);
    const at = lines.slice(0, names).join('\n').length + 2;
    spoilt[at] = 0xb5;
    const problem = headOf(spoilt).parsed.problems.find(({ code }) => code === 'not-utf8');
    assert.equal(problem?.range.line, names + 1);
  });

  it('tells of a table without a row of names in bounded memory', () => {
    const { parsed, basis } = headOf(new Uint8Array(headerLimit + 1).fill(65));
    assert.equal(basis, undefined);
    assert.ok(parsed.problems.some(({ code }) => code === 'header-too-long'));
  });
});
