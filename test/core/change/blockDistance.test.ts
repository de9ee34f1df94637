// The written-out arithmetic of a look against its plain loop.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { squareOfAny, whitenedSquare } from '../../../src/core/change/blockDistance.ts';

describe('whitened square', () => {
  it('is the plain loop to the last bit, for any number of components, the first tested or not', () => {
    const number = fc.double({ min: -1e3, max: 1e3, noNaN: true });
    const drawn = fc
      .record({ dimension: fc.integer({ min: 1, max: 9 }), first: fc.integer({ min: 0, max: 1 }) })
      .chain(({ dimension, first }) =>
        fc.record({
          dimension: fc.constant(dimension),
          first: fc.constant(first),
          whitener: fc.array(number, { minLength: dimension ** 2, maxLength: dimension ** 2 }),
          x: fc.array(number, { minLength: dimension, maxLength: dimension }),
        }),
      );
    fc.assert(
      fc.property(drawn, ({ dimension, first, whitener, x }) => {
        const matrix = Float64Array.from(whitener);
        const vector = Float64Array.from(x);
        const plain = squareOfAny(matrix, vector, dimension, first);
        assert.equal(whitenedSquare(matrix, vector, dimension, first), plain);
      }),
      { seed: 3 },
    );
  });
});
