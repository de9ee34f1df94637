// What is lost where values are stored in single precision: the display pyramid keeps float32 differences from a series'
// first value, rounded outwards so that an extreme is never cut. Figures, exports and detection are double throughout.
import { RandomStream } from '../../../src/cli/simulation/random.ts';
import { PyramidBuilder } from '../../../src/core/display/pyramid/pyramid.ts';
import type { Check } from '../check.ts';

/** Largest difference, um/m, between strains within +-`range` um/m of their first and what the pyramid gives back. */
function largestLoss(range: number): number {
  const random = new RandomStream(9, 'float32');
  const rows = 16 * 1024;
  const strain = Float64Array.from({ length: rows }, () => random.between(-range, range) * 1e-6);
  strain[0] = 0;
  const builder = new PyramidBuilder(1, 16, [0]);
  builder.push([strain], rows, 0);
  const [series] = builder.finish();
  const pair = new Float64Array(2);
  let worst = 0;
  for (let bucket = 0; bucket < series!.buckets(0); bucket++) {
    series!.extremes(0, bucket, pair);
    const values = strain.subarray(16 * bucket, 16 * bucket + 16);
    worst = Math.max(
      worst,
      Math.abs(Math.min(...values) - Math.min(...pair)),
      Math.abs(Math.max(...values) - Math.max(...pair)),
    );
  }
  return worst * 1e6;
}

export const storageChecks: readonly Check[] = [1000, 10_000].map((range) => {
  // A unit in the last place of the largest value: 24 bits of significand (IEEE 754 binary32).
  const unit = 2 ** (Math.floor(Math.log2(range * 1e-6)) - 23) * 1e6;
  return {
    source: 'IEEE 754 binary32: one unit in the last place, at most',
    basis: 'closed form' as const,
    quantity: `loss of strain in the display pyramid, within ${range} um/m of the first value`,
    unit: 'um/m',
    expected: unit,
    tolerance: unit * 0.02,
    got: () => largestLoss(range),
  };
});
