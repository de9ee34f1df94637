import assert from 'node:assert/strict';
import fc from 'fast-check';
import { conditionLimit, rosetteCondition, solveRosette } from '../../../src/core/strain/rosette.ts';
import { measured } from '../../support/oneRow.ts';
import { near } from '../../support/near.ts';

const rounding = 1e-7;

const degree = Math.PI / 180;
const radians = (degrees: readonly number[]): number[] => degrees.map((angle) => angle * degree);

/** Three to seven well-spread directions with readings. */
const rosettes = fc
  .integer({ min: 3, max: 7 })
  .chain((n) =>
    fc.tuple(
      fc.array(fc.double({ min: -0.25, max: 0.25, noNaN: true }), { minLength: n, maxLength: n }),
      fc.array(fc.double({ min: -2000, max: 2000, noNaN: true }), { minLength: n, maxLength: n }),
    ),
  )
  .map(([jitter, readings]) => ({
    directions: jitter.map((j, k) => ((k + j) * 180) / jitter.length),
    readings,
  }));

const sameAxis = (gotDeg: number, expectedDeg: number, tolerance: number): void => {
  const turn = (((gotDeg - expectedDeg + 90) % 180) + 180) % 180;
  near(turn - 90, 0, tolerance);
};

describe('a rosette', () => {
  it('turned as a whole keeps its principal strains and residual, and turns the direction with it', () => {
    fc.assert(
      fc.property(rosettes, fc.double({ min: -360, max: 360, noNaN: true }), ({ directions, readings }, turn) => {
        const before = measured(directions, readings);
        const after = measured(
          directions.map((d) => d + turn),
          readings,
        );
        near(after.e1, before.e1, rounding);
        near(after.e2, before.e2, rounding);
        if (readings.length > 3) near(after.residual, before.residual, rounding);
        if (before.e1 - before.e2 > 1) sameAxis(after.dir, before.dir + turn, 1e-5);
      }),
    );
  });

  it('does not care in which order its channels come, nor which way along its line a fibre is read', () => {
    fc.assert(
      fc.property(rosettes, ({ directions, readings }) => {
        const before = measured(directions, readings);
        const after = measured(
          directions.map((d, k) => (k % 2 === 0 ? d + 180 : d - 180)).reverse(),
          readings.toReversed(),
        );
        near(after.ex, before.ex, rounding);
        near(after.ey, before.ey, rounding);
        near(after.gxy, before.gxy, rounding);
      }),
    );
  });

  it('keeps the trace: e1 + e2 = ex + ey, and e1 is never below e2', () => {
    fc.assert(
      fc.property(rosettes, ({ directions, readings }) => {
        const { ex, ey, e1, e2, dir } = measured(directions, readings);
        near(e1 + e2, ex + ey, rounding);
        assert.ok(e1 >= e2);
        assert.ok(Number.isNaN(dir) || (dir >= 0 && dir < 180), String(dir));
      }),
    );
  });

  it('adds up: the tensor of a sum of readings is the sum of the tensors', () => {
    fc.assert(
      fc.property(rosettes, ({ directions, readings }) => {
        const one = measured(directions, readings);
        const other = measured(
          directions,
          readings.map((r) => 10 - 2 * r),
        );
        const both = measured(
          directions,
          readings.map((r) => 10 - r),
        );
        near(both.gxy, one.gxy + other.gxy, rounding);
        near(both.ex, one.ex + other.ex, rounding);
      }),
    );
  });

  it('has no tensor where fewer than three directions differ', () => {
    for (const directions of [[], [0], [0, 90], [0, 90, 180], [30, 30, 120, 210], [0, 0, 0]]) {
      assert.equal(
        solveRosette(
          radians(directions),
          directions.map(() => 1),
        ),
        undefined,
        String(directions),
      );
    }
    assert.ok(rosetteCondition(radians([0, 1, 2])) > conditionLimit);
  });

  it('is not ruled by a channel that has stuck and shows no noise at all', () => {
    const directions = [0, 45, 90, 135];
    const quiet = solveRosette(radians(directions), [1, 1, 0, 1])!;
    const alike = solveRosette(radians(directions), [1, 1, 1, 1])!;
    // The 90 degree channel may count up to four times as much, not infinitely.
    assert.ok(quiet.inverse[4 + 2]! < 1 && quiet.inverse[4 + 2]! > alike.inverse[4 + 2]!);
    assert.ok(quiet.inverse.every(Number.isFinite) && quiet.covariance.every(Number.isFinite));
  });

  it('trusts a noisy channel less, and says so in its covariance', () => {
    const alike = solveRosette(radians([0, 45, 90, 135]), [1, 1, 1, 1])!;
    const noisy = solveRosette(radians([0, 45, 90, 135]), [1, 1, 1, 10])!;
    assert.ok(Math.abs(noisy.inverse[8 + 3]!) < Math.abs(alike.inverse[8 + 3]!));
    assert.ok(noisy.covariance[2] > alike.covariance[2]);
  });

  it('leaves the shear alone when the temperature reading is noisy, and widens both normal strains together', () => {
    const shaken = solveRosette(radians([0, 60, 120]), [1, 1, 1], [3, 3, 3])!;
    const still = solveRosette(radians([0, 60, 120]), [1, 1, 1], [0, 0, 0])!;
    near(shaken.covariance[2], still.covariance[2], 1e-12);
    near(shaken.covariance[0], still.covariance[0] + 9, 1e-12);
    near(shaken.covariance[3], still.covariance[3] + 9, 1e-12);
  });

  it('says that it does not know its errors where the noise is not known', () => {
    const { covariance, inverse } = solveRosette(radians([0, 60, 120]), [NaN, NaN, NaN])!;
    assert.ok(covariance.every(Number.isNaN));
    assert.ok(inverse.every(Number.isFinite));
  });

  it('expects of its residual what a weighted fit leaves, and nothing where there is nothing to spare', () => {
    // The one misfit of 0/45/90/135, e0 - e45 + e90 - e135, has variance 28; channel i takes sigma_i^2 / 28 of it.
    const unequal = solveRosette(radians([0, 45, 90, 135]), [1, 1, 1, 5])!;
    near(unequal.residualNoise, Math.sqrt((3 + 5 ** 4) / 28), 1e-12);
    near(solveRosette(radians([0, 45, 90, 135]), [2, 2, 2, 2])!.residualNoise, 2, 1e-12);
    // A thermometer that moves all channels alike leaves no residual; one that moves one of them alone does.
    near(solveRosette(radians([0, 45, 90, 135]), [2, 2, 2, 2], [3, 3, 3, 3])!.residualNoise, 2, 1e-12);
    near(solveRosette(radians([0, 45, 90, 135]), [2, 2, 2, 2], [4, 0, 0, 0])!.residualNoise, Math.sqrt(4 + 4), 1e-12);
    // Without the fifth channel it is again the residual of four.
    const use = [true, true, true, true, false];
    const four = solveRosette(radians([0, 45, 90, 135, 20]), [1, 1, 1, 5, 9], undefined, use)!;
    near(four.residualNoise, unequal.residualNoise, 1e-12);
    assert.ok(Number.isNaN(solveRosette(radians([0, 60, 120]), [1, 1, 1])!.residualNoise));
    assert.ok(Number.isNaN(solveRosette(radians([0, 45, 90, 135]), [1, 1, 1, NaN])!.residualNoise));
  });
});
