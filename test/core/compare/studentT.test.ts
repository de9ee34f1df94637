import assert from 'node:assert/strict';
import { twoSidedT } from '../../../src/core/compare/studentT.ts';

// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, critical values of Student's t (from memory); the table
// gives the one-sided 0.95, 0.975 and 0.995, that is 90, 95 and 99 % between -t and t.
const table: readonly (readonly [number, number, number, number])[] = [
  [1, 6.314, 12.706, 63.657],
  [2, 2.92, 4.303, 9.925],
  [3, 2.353, 3.182, 5.841],
  [4, 2.132, 2.776, 4.604],
  [5, 2.015, 2.571, 4.032],
  [10, 1.812, 2.228, 3.169],
  [30, 1.697, 2.042, 2.75],
  [100, 1.66, 1.984, 2.626],
];

describe("Student's t", () => {
  for (const [degrees, t90, t95, t99] of table) {
    it(`has the quantiles of the printed table at ${degrees} degrees of freedom`, () => {
      for (const [coverage, printed] of [
        [0.9, t90],
        [0.95, t95],
        [0.99, t99],
      ] as const) {
        assert.ok(Math.abs(twoSidedT(coverage, degrees) - printed) < 6e-4, `${coverage} ${degrees}`);
      }
    });
  }

  it('is the tangent at one degree and algebraic at two', () => {
    for (const coverage of [0.1, 0.5, 0.9, 0.999]) {
      assert.ok(Math.abs(twoSidedT(coverage, 1) / Math.tan((Math.PI * coverage) / 2) - 1) < 1e-9);
      assert.ok(Math.abs(twoSidedT(coverage, 2) / (coverage * Math.sqrt(2 / (1 - coverage ** 2))) - 1) < 1e-9);
    }
  });

  it('nears the normal distribution at many degrees', () => {
    assert.ok(Math.abs(twoSidedT(0.95, 1e6) - 1.959964) < 1e-5);
  });

  it('lies between whole degrees at fractions, and refuses what makes no sense', () => {
    const between = twoSidedT(0.95, 2.5);
    assert.ok(between < 4.303 && between > 3.182);
    for (const [coverage, degrees] of [
      [0, 3],
      [1, 3],
      [NaN, 3],
      [0.9, 0],
    ] as const) {
      assert.throws(() => twoSidedT(coverage, degrees), RangeError);
    }
  });
});
