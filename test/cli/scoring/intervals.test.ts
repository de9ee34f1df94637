// Confidence intervals against published tables.
import assert from 'node:assert/strict';
import { median, medianInterval, proportion, rate } from '../../../src/cli/scoring/intervals.ts';
import { near } from '../../support/near.ts';

describe('intervals of a score', () => {
  it('of a proportion are those of Newcombe (Statistics in Medicine 17, 1998, table I, score method; from memory)', () => {
    for (const [hits, trials, low, high] of [
      [81, 263, 0.2553, 0.3662],
      [15, 148, 0.0624, 0.1605],
      [0, 20, 0, 0.1611],
      [1, 29, 0.0061, 0.1718],
    ] as const) {
      const got = proportion(hits, trials);
      near(got.low, low, 5e-5);
      near(got.high, high, 5e-5);
      near(got.value, hits / trials, 1e-12);
    }
  });

  it('of a count are those of Garwood (Biometrika 28, 1936; 95 % table, from memory)', () => {
    for (const [count, low, high] of [
      [0, 0, 3.689],
      [1, 0.0253, 5.572],
      [2, 0.242, 7.225],
      [5, 1.623, 11.668],
      [10, 4.795, 18.39],
      [50, 37.11, 65.92],
    ] as const) {
      const got = rate(count, 1);
      near(got.low, low, 0.006);
      near(got.high, high, 0.006);
    }
  });

  it('scale with the time watched, and say nothing where nothing was watched or tried', () => {
    near(rate(5, 400).high, rate(5, 1).high / 400, 1e-9);
    assert.ok(Number.isNaN(rate(0, 0).value));
    assert.deepEqual(proportion(0, 0), { value: NaN, low: 0, high: 1 });
    assert.equal(proportion(7, 7).high, 1);
  });

  it('the median is the middle, or the mean of the middle two', () => {
    assert.equal(median([5, 1, 9]), 5);
    assert.equal(median([4, 1, 9, 6]), 5);
    assert.ok(Number.isNaN(median([])));
  });

  it('of a median lie at the order statistics of Nair (Sankhya 4, 1940, 95 % table, from memory)', () => {
    for (const [n, rank] of [
      [6, 1],
      [8, 1],
      [9, 2],
      [10, 2],
      [11, 2],
      [12, 3],
      [15, 4],
      [20, 6],
      [25, 8],
      [30, 10],
      [50, 18],
    ] as const) {
      const values = Array.from({ length: n }, (_, at) => n - at);
      assert.deepEqual(medianInterval(values), { value: (n + 1) / 2, low: rank, high: n + 1 - rank }, String(n));
    }
  });

  it('of a median hold the true one in 95 % or more, and would not one rank further in', () => {
    // Pascal's triangle in whole numbers, as an independent count of how often j and more of n lie on one side.
    for (const n of [7, 40, 333, 1200]) {
      const { low, high } = medianInterval(Array.from({ length: n }, (_, at) => at + 1));
      assert.equal(low + high, n + 1);
      const within = (rank: number): number => {
        let [ways, below] = [1n, 0n];
        for (let k = 0n; k < BigInt(rank); k++) {
          below += ways;
          ways = (ways * (BigInt(n) - k)) / (k + 1n);
        }
        return 1 - 2 * (Number((below * 10n ** 12n) / 2n ** BigInt(n)) / 1e12);
      };
      assert.ok(within(low) >= 0.95, `${n}: ${within(low)}`);
      assert.ok(within(low + 1) < 0.95, `${n}: ${within(low + 1)}`);
    }
  });

  it('of a median of five values and fewer have no bounds', () => {
    assert.deepEqual(medianInterval([3, 1, 2, 5, 4]), { value: 3, low: -Infinity, high: Infinity });
    assert.deepEqual(medianInterval([]), { value: NaN, low: -Infinity, high: Infinity });
  });
});
