// Conditioning of direction sets against singular values by another library, and published layouts.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { Matrix, SingularValueDecomposition } from 'ml-matrix';
import { conditionNumber, distinctDirections } from '../../../../src/core/header/resolve/conditionNumber.ts';

const radians = (degrees: readonly number[]): number[] => degrees.map((each) => (each * Math.PI) / 180);

describe('the condition number of a set of directions', () => {
  // Computed apart from this code with numpy.linalg.cond (numpy 2.4) for the design matrix of the trade's usual rosettes.
  for (const [degrees, expected] of [
    [[0, 45, 90], 3.186],
    [[0, 60, 120], 2],
    [[0, 45, 90, 135], 2],
    [[0, 30, 60, 90, 120, 150], 2],
    [[0, 30, 60], 7.196],
    [[0, 20, 40], 16.639],
  ] as const) {
    it(`of ${degrees.join('/')} is ${expected}`, () =>
      assert.ok(Math.abs(conditionNumber(radians(degrees)) - expected) < 5e-4));
  }

  it('agrees with a singular value decomposition', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -360, max: 360, noNaN: true }), { minLength: 3, maxLength: 8 }),
        (degrees) => {
          const angles = radians(degrees);
          const rows = angles.map((a) => [Math.cos(a) ** 2, Math.sin(a) ** 2, Math.sin(a) * Math.cos(a)]);
          const expected = new SingularValueDecomposition(new Matrix(rows)).condition;
          if (expected > 1e3) assert.ok(conditionNumber(angles) > 999);
          else
            assert.ok(
              Math.abs(conditionNumber(angles) / expected - 1) < 1e-6,
              `${conditionNumber(angles)} ${expected}`,
            );
        },
      ),
    );
  });

  it('counts directions modulo 180 degrees', () => {
    assert.equal(distinctDirections(radians([0, 180, 90, -90, 360])), 2);
    assert.equal(distinctDirections(radians([0, 45, 90])), 3);
    assert.equal(distinctDirections(radians([179.999, 0, 0.001])), 1);
    assert.equal(distinctDirections([]), 0);
  });
});
