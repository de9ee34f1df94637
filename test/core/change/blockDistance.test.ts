// The written-out arithmetic of a look against its plain loops.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { lookAtAny, lookAtBlocks } from '../../../src/core/change/blockDistance.ts';

describe('look at two blocks', () => {
  it('is the plain loops to the last bit, for any number of components, the first tested or not', () => {
    const number = fc.double({ min: -1e3, max: 1e3, noNaN: true });
    const numbers = (count: number): fc.Arbitrary<Float64Array> =>
      fc.array(number, { minLength: count, maxLength: count }).map((drawn) => Float64Array.from(drawn));
    const drawn = fc.integer({ min: 1, max: 9 }).chain((dimension) =>
      fc.record({
        first: fc.integer({ min: 0, max: 1 }),
        length: fc.integer({ min: 1, max: 64 }),
        before: fc.integer({ min: 1, max: 128 }),
        sums: numbers(3 * dimension),
        slope: numbers(dimension),
        whitener: numbers(dimension ** 2),
      }),
    );
    fc.assert(
      fc.property(drawn, ({ first, length, before, sums, slope, whitener }) => {
        const dimension = slope.length;
        const plain = new Float64Array(dimension + 1);
        const written = new Float64Array(dimension + 1);
        lookAtAny(sums, slope, whitener, first, 2 * dimension, dimension, 0, length, before, plain);
        lookAtBlocks(sums, slope, whitener, first, 2 * dimension, dimension, 0, length, before, written);
        assert.deepEqual(written, plain);
      }),
      { seed: 3 },
    );
  });
});
