import assert from 'node:assert/strict';
import fc from 'fast-check';
import { stressErrors } from '../../../src/core/strain/hooke.ts';
import { directionLimit, principal, principalErrors, strainAlong } from '../../../src/core/strain/principal.ts';
import type { TensorCovariance } from '../../../src/core/strain/rosette.ts';
import { solveRosette } from '../../../src/core/strain/rosette.ts';
import { turned } from '../../support/oneRow.ts';
import { near } from '../../support/near.ts';

const rounding = 1e-13;

const value = fc.double({ min: -1e-2, max: 1e-2, noNaN: true });
const angle = fc.double({ min: -7, max: 7, noNaN: true });

describe('principal strains', () => {
  it('do not change when the axes are turned', () => {
    fc.assert(
      fc.property(value, value, value, angle, (ex, ey, gxy, turn) => {
        const before = principal(ex, ey, gxy);
        const after = principal(...turned(ex, ey, gxy, turn));
        near(after.e1, before.e1, rounding);
        near(after.e2, before.e2, rounding);
      }),
    );
  });

  it('are the strains along their own direction and across it, where there is no shear', () => {
    fc.assert(
      fc.property(value, value, value, (ex, ey, gxy) => {
        const { e1, e2, dirRad } = principal(ex, ey, gxy);
        near(strainAlong(ex, ey, gxy, dirRad), e1, rounding);
        near(strainAlong(ex, ey, gxy, dirRad + Math.PI / 2), e2, rounding);
        near(turned(ex, ey, gxy, dirRad)[2], 0, rounding);
        assert.ok(dirRad >= 0 && dirRad < Math.PI);
      }),
    );
  });
});

describe('the direction', () => {
  const noise = 5e-6;
  const covariance = (degrees: readonly number[]): TensorCovariance => {
    const directions = degrees.map((d) => (d * Math.PI) / 180);
    return solveRosette(
      directions,
      directions.map(() => noise),
    )!.covariance;
  };

  it('of a 0/60/120 rosette is undefined below a shear of four times the noise, and defined above', () => {
    const at = (ratio: number): boolean =>
      principalErrors(0.5 * ratio * noise, -0.5 * ratio * noise, 0, covariance([0, 60, 120])).defined;
    assert.equal(at(3.99), false);
    assert.equal(at(4.01), true);
  });

  it('is undefined in one case of twenty at most where there is no shear at all: the limit is a 95 % region', () => {
    // chi-square with two degrees of freedom: P(x > limit) = exp(-limit / 2).
    near(Math.exp(-directionLimit / 2), 0.05, rounding);
  });

  it('has no error where it is undefined, and is undefined where the noise is not known', () => {
    const unknown: TensorCovariance = [NaN, NaN, NaN, NaN, NaN, NaN];
    assert.ok(Number.isNaN(principalErrors(1e-9, 0, 0, covariance([0, 60, 120])).dirRad));
    assert.ok(Number.isNaN(principalErrors(1e-3, 0, 0, unknown).dirRad));
    assert.equal(principalErrors(1e-3, 0, 0, unknown).defined, false);
  });

  it('has no error without a tensor, nor has anything else', () => {
    const { e1, e2, gmax, dirRad, defined } = principalErrors(NaN, NaN, NaN, covariance([0, 60, 120]));
    assert.deepEqual([e1, e2, gmax, dirRad, defined], [NaN, NaN, NaN, NaN, false]);
    const stress = stressErrors({ sx: NaN, sy: NaN, txy: NaN }, covariance([0, 60, 120]));
    assert.deepEqual(stress, { s1: NaN, s2: NaN, vonMises: NaN });
  });

  it('of a 0/45/90 rosette is less certain along the fibres than between them', () => {
    const c = covariance([0, 45, 90]);
    const along = principalErrors(1e-4, -1e-4, 0, c).dirRad;
    const between = principalErrors(0, 0, 2e-4, c).dirRad;
    // sqrt(6) against sqrt(2), from SE = s sqrt(6 cos^2 + 2 sin^2) / (2 gmax).
    near(along / between, Math.sqrt(3), 1e-9);
  });
});
