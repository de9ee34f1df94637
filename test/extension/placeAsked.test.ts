import assert from 'node:assert/strict';
import fc from 'fast-check';
import { clock } from '../../src/core/display/numberFormat.ts';
import { placeAsked } from '../../src/extension/placeAsked.ts';

describe('placeAsked', () => {
  it('takes hours, minutes and seconds', () => {
    assert.deepEqual(placeAsked('1:02:03.5'), { timeS: 3600 + 2 * 60 + 3.5 });
    assert.deepEqual(placeAsked(' 2:03 '), { timeS: 123 });
  });

  it('takes seconds with their unit', () => {
    assert.deepEqual(placeAsked('754.2 s'), { timeS: 754.2 });
  });

  it('takes a time as screens show it, wherever the log begins', () => {
    fc.assert(
      fc.property(fc.integer({ min: -100_000, max: 2_000_000_000 }), (timeS) => {
        assert.deepEqual(placeAsked(clock(timeS)), { timeS: timeS === 0 ? 0 : timeS });
      }),
    );
  });

  it('takes a line of the log after a colon', () => {
    assert.deepEqual(placeAsked(':20412'), { line: 20412 });
  });

  it('takes nothing else: a bare number could be either', () => {
    for (const text of ['', '12', '1:2:3:4', 'layer 3', '--5 s', ':', '1e3 s'])
      assert.equal(placeAsked(text), undefined);
  });
});
