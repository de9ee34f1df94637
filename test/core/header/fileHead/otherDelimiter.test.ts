// What separates a row of names: names in quotes hold any sign (RFC 4180).
import assert from 'node:assert/strict';
import { otherDelimiter } from '../../../../src/core/header/fileHead/otherDelimiter.ts';

const quoted = (name: string): string => `"${name.replaceAll('"', '""')}"`;
const names = ['time', 'A, T', 'A; c0', 'the "5 |" bar', 'tab\there'];

describe('the sign between names', () => {
  it('is their own where quoted names hold other signs, and its own', () => {
    for (const own of [',', ';', '|', '\t', ' ']) {
      assert.equal(otherDelimiter(names.map(quoted).join(own), own, names.length), undefined, own);
    }
    // Four fields by its commas alone, three by its spaces.
    assert.equal(otherDelimiter('time,"A, T","B T"', ',', 3), undefined);
  });

  it('is found between quoted names that hold commas', () => {
    for (const [sign, written] of [
      [';', "';'"],
      ['\t', 'tab'],
      ['|', "'|'"],
      [' ', "' '"],
    ] as const) {
      assert.equal(otherDelimiter(names.map(quoted).join(sign), ',', names.length)?.written, written);
    }
  });

  it('is not looked for where names lack, nor of one column', () => {
    assert.equal(otherDelimiter('time,a,b', ',', 4), undefined);
    assert.equal(otherDelimiter('a;b', ',', 1), undefined);
  });
});
