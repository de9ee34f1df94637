// Whether the line after the names of a foreign table holds units.
import assert from 'node:assert/strict';
import { isUnitsRow } from '../../../../src/core/header/fileHead/foreignRows.ts';

const form = { delimiter: ',', decimal: '.', skipLines: 0, comment: '#', timeFormat: '' } as const;
const isUnits = (text: string, timeFormat = ''): boolean =>
  isUnitsRow({ text, line: 2, end: 0 }, { ...form, timeFormat }, 0);

describe('a row of units', () => {
  it('holds words, and 1 where a quantity has no unit', () => {
    for (const text of ['s,degC,um/m,um/m', ',degC,um/m,um/m', 's,degC,1,1', ',,,um/m\r', '-,-,nm,nm', 's,,,']) {
      assert.ok(isUnits(text), text);
    }
  });

  it('is none where a reading or a time stands', () => {
    for (const text of [
      's,20.5,um/m,um/m',
      '0,a,b,c',
      '1,1,1,1',
      ',1,1,1',
      ',,,',
      'x,nan,,',
      '2026-03-02T18:00:00Z,,,',
      '20260302T180000Z,,,',
      '2026-03-02,,,',
      '18:00,,,',
      'Mar 2 2026 18:00,,,',
    ]) {
      assert.ok(!isUnits(text), text);
    }
    assert.ok(!isUnits('Mar-02,,,', 'MMM-dd'));
  });
});
