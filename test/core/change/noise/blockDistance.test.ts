// The written-out arithmetic of a look against its plain loops.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { leastSquare, lookAtAny, lookAtBlocks } from '../../../../src/core/change/noise/blockDistance.ts';
import { learnAny, learnMoments } from '../../../../src/core/change/noise/secondMoments.ts';

const number = fc.double({ min: -1e3, max: 1e3, noNaN: true });
const numbers = (count: number): fc.Arbitrary<Float64Array> =>
  fc.array(number, { minLength: count, maxLength: count }).map((drawn) => Float64Array.from(drawn));

describe('look at two blocks', () => {
  it('is the plain loops to the last bit, for any number of components, the first tested or not', () => {
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
        if (first === 1) plain[dimension] = leastSquare(whitener, plain, dimension, plain[dimension]!);
        lookAtBlocks(sums, slope, whitener, first, 2 * dimension, dimension, 0, length, before, written);
        assert.deepEqual(written, plain);
      }),
      { seed: 3 },
    );
  });
});

describe('second moments', () => {
  it('are learned as by the plain loops, to the last bit, for any number of components', () => {
    const share = fc.double({ min: 0, max: 1, noNaN: true });
    const drawn = fc
      .integer({ min: 1, max: 9 })
      .chain((dimension) =>
        fc.record({ covariance: numbers(dimension ** 2), value: numbers(dimension), trust: share, gain: share }),
      );
    fc.assert(
      fc.property(drawn, ({ covariance, value, trust, gain }) => {
        const plain = covariance.slice();
        learnAny(plain, value, value.length, { trust, gain });
        learnMoments(covariance, value, value.length, { trust, gain });
        assert.deepEqual(covariance, plain);
      }),
      { seed: 4 },
    );
  });
});
