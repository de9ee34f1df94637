// Tail laws against printed and recomputed limits.
import assert from 'node:assert/strict';
import { fPoint, logChiSquareTail, logFTail } from '../../../../src/core/change/noise/laws.ts';

describe('tail laws', () => {
  // Chi-square upper points: any statistical table, e.g. NIST/SEMATECH e-Handbook 1.3.6.7.4.
  for (const [x, freedom, p] of [
    [3.841, 1, 0.05],
    [9.21, 2, 0.01],
    [16.266, 3, 0.001],
    [18.467, 4, 0.001],
    [20.515, 5, 0.001],
  ] as const) {
    it(`chi-square passes ${x} with ${freedom} degrees of freedom once in ${1 / p}`, () => {
      assert.ok(Math.abs(Math.exp(logChiSquareTail(x, freedom)) / p - 1) < 2e-3);
    });
  }

  // F upper points: NIST/SEMATECH e-Handbook 1.3.6.7.3 (5 % and 1 % tables).
  for (const [f, upper, lower, p] of [
    [161.448, 1, 1, 0.05],
    [3.478, 4, 10, 0.05],
    [5.994, 4, 10, 0.01],
    [2.758, 3, 60, 0.05],
  ] as const) {
    it(`F(${upper}, ${lower}) passes ${f} with probability ${p}`, () => {
      assert.ok(Math.abs(Math.exp(logFTail(f, upper, lower)) / p - 1) < 2e-3);
    });
  }

  it('has no floor far out: chi-square with two degrees of freedom is exponential', () => {
    assert.ok(Math.abs(logChiSquareTail(4000, 2) + 2000) < 1e-9);
  });

  it('finds the point of a tail', () => {
    assert.ok(Math.abs(fPoint(Math.log(0.05), 4, 10) - 3.478) < 1e-3);
  });
});
