import assert from 'node:assert/strict';
import { copyPlain } from '../../../src/core/change/plain.ts';

describe('copyPlain', () => {
  const state = {
    lone: undefined,
    row: -0,
    names: ['A1', 'A2'],
    kinds: [
      Float64Array.of(1.5, NaN),
      Float32Array.of(0.5),
      Int32Array.of(-3),
      Uint8Array.of(1, 0, 255),
      Uint32Array.of(2 ** 32 - 1),
    ],
  };

  it('gives what was there, arrays of numbers in their own kind', () => {
    assert.deepEqual(copyPlain(state), state);
  });

  it('shares nothing with it', () => {
    const copy = copyPlain(state);
    copy.names.push('A3');
    for (const kind of copy.kinds) kind[0] = 7;
    assert.equal(state.names.length, 2);
    assert.deepEqual(
      state.kinds.map((kind) => kind[0]),
      [1.5, 0.5, -3, 1, 2 ** 32 - 1],
    );
  });
});
