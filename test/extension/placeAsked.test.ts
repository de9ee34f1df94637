import assert from 'node:assert/strict';
import { placeAsked } from '../../src/extension/placeAsked.ts';

describe('placeAsked', () => {
  const startS = 100;

  it('takes hours, minutes and seconds as time since the start', () => {
    assert.deepEqual(placeAsked('1:02:03.5', startS), { timeS: startS + 3600 + 2 * 60 + 3.5 });
    assert.deepEqual(placeAsked(' 2:03 ', startS), { timeS: startS + 123 });
  });

  it('takes seconds with their unit', () => {
    assert.deepEqual(placeAsked('754.2 s', startS), { timeS: startS + 754.2 });
  });

  it('takes a line of the log after a colon', () => {
    assert.deepEqual(placeAsked(':20412', startS), { line: 20412 });
  });

  it('takes nothing else: a bare number could be either', () => {
    for (const text of ['', '12', '1:2:3:4', 'layer 3', '-5 s', ':', '1e3 s'])
      assert.equal(placeAsked(text, startS), undefined);
  });
});
