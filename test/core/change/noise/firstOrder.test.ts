// Means of blocks in noise of first order, by the sum over all pairs of samples, whose covariance is r to their distance.
import assert from 'node:assert/strict';
import { RandomStream } from '../../../../src/cli/simulation/random.ts';
import { blockShapes } from '../../../../src/core/change/noise/blockShapes.ts';
import { firstOrderVariance } from '../../../../src/core/change/noise/firstOrder.ts';
import { lagOneCorrelation } from '../../../../src/core/strain/robust.ts';

function byPairs(length: number, before: number, r: number): number {
  const weights = Array.from({ length: length + before }, (_, i) => (i < before ? -1 / before : 1 / length));
  const variance = weights.reduce(
    (sum, a, i) => sum + weights.reduce((part, b, k) => part + a * b * r ** Math.abs(i - k), 0),
    0,
  );
  return variance / (1 - r);
}

/** Noise of first order, and a drift beneath it. */
function noiseOf(r: number, count: number, seed: number): number[] {
  const random = new RandomStream(seed, 'first order');
  let value = random.normal();
  return Array.from({ length: count }, (_, i) => {
    value = r * value + Math.sqrt(1 - r * r) * random.normal();
    return value + 0.01 * i;
  });
}

describe('noise of first order', () => {
  it('makes means of blocks differ as the sum over all pairs of samples tells', () => {
    for (const r of [0, 0.05, 0.5, 0.8, 0.95]) {
      for (const shape of blockShapes) {
        const told = byPairs(shape.length, shape.before, r);
        assert.ok(Math.abs(firstOrderVariance(shape, r) - told) < 1e-9 * told, `${r}, ${shape.length}`);
      }
    }
  });

  it('is known by its first rows, also on a drift', () => {
    for (const r of [0, 0.3, 0.6, 0.8]) {
      const found = Array.from({ length: 40 }, (_, seed) => lagOneCorrelation(noiseOf(r, 120, seed)));
      const mean = found.reduce((sum, x) => sum + x, 0) / found.length;
      assert.ok(Math.abs(mean - r) < 0.08, `${mean} for ${r}`);
    }
  });

  it('is not known of too few rows', () => {
    assert.ok(Number.isNaN(lagOneCorrelation([1, 2, 4])));
  });
});
