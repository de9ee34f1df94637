// Tensor (ex, ey, gxy engineering shear, dimensionless) -> principal strains, direction and their standard errors.
// e1 >= e2; the direction is that of e1, radians in [0, pi). Errors by first-order propagation (JCGM 100, 5.2.2).
// Where the shear is not distinguishable from zero the first-order formula fails and no direction exists: it is then
// undefined here and everywhere downstream, as it is where the noise of the shear is unknown, since it may be nothing else.
import { axis } from './axial.ts';
import type { TensorCovariance } from './rosette.ts';

export interface Principal {
  readonly e1: number;
  readonly e2: number;
  /** e1 - e2. */
  readonly gmax: number;
  readonly dirRad: number;
}

export interface PrincipalErrors {
  readonly e1: number;
  readonly e2: number;
  readonly gmax: number;
  /** NaN where the direction is undefined. */
  readonly dirRad: number;
  /** False where (ex - ey, gxy) lies inside the 95 % region of pure noise, or where that region is unknown. */
  readonly defined: boolean;
}

/**
 * 95 % point of chi-square with two degrees of freedom: -2 ln 0.05. For 0/60/120 degrees it means gmax < 4 noise of one
 * reading, the place from which the first-order error of the direction is more than 15 % off.
 */
export const directionLimit = -2 * Math.log(0.05);

export function principal(ex: number, ey: number, gxy: number): Principal {
  const mean = 0.5 * (ex + ey);
  const gmax = Math.hypot(ex - ey, gxy);
  return { e1: mean + 0.5 * gmax, e2: mean - 0.5 * gmax, gmax, dirRad: axis(0.5 * Math.atan2(gxy, ex - ey)) };
}

/** Strain in direction t of a tensor; the inverse of what a rosette measures. */
export function strainAlong(ex: number, ey: number, gxy: number, directionRad: number): number {
  const c = Math.cos(directionRad);
  const s = Math.sin(directionRad);
  return ex * c * c + ey * s * s + gxy * s * c;
}

/** Covariance of (ex - ey, gxy): the two variances, xx and ss, and between them xs. */
export type ShearCovariance = readonly [xx: number, xs: number, ss: number];

export function shearCovariance([xx, yy, ss, xy, xs, ys]: TensorCovariance): ShearCovariance {
  return [xx + yy - 2 * xy, xs - ys, ss];
}

/** Squared Mahalanobis distance of (ex - ey, gxy) from zero; NaN where their covariance is unknown. */
export function shearSignificance(difference: number, gxy: number, covariance: ShearCovariance): number {
  const form = shearForm(covariance);
  return form[0] * difference * difference + 2 * form[1] * difference * gxy + form[2] * gxy * gxy;
}

/** The inverse of that covariance, in the same order. */
export function shearForm([xx, xs, ss]: ShearCovariance): [number, number, number] {
  const det = xx * ss - xs * xs;
  return [ss / det, -xs / det, xx / det];
}

/** NaN where a value is: without a tensor nothing has an error. `shear` may be known where the whole covariance is not. */
export function principalErrors(
  ex: number,
  ey: number,
  gxy: number,
  covariance: TensorCovariance,
  shear = shearCovariance(covariance),
): PrincipalErrors {
  const difference = ex - ey;
  const gmax = Math.hypot(difference, gxy);
  const c = gmax === 0 ? 1 : difference / gmax;
  const s = gmax === 0 ? 0 : gxy / gmax;
  const sd = (x: number, y: number, g: number): number => Math.sqrt(Math.max(0, quadratic(covariance, x, y, g)));
  const [xx, xs, ss] = shear;
  const along = (x: number, y: number): number => Math.sqrt(Math.max(0, xx * x * x + 2 * xs * x * y + ss * y * y));
  const defined = shearSignificance(difference, gxy, shear) >= directionLimit;
  return {
    e1: sd(0.5 + 0.5 * c, 0.5 - 0.5 * c, 0.5 * s),
    e2: sd(0.5 - 0.5 * c, 0.5 + 0.5 * c, -0.5 * s),
    gmax: along(c, s),
    dirRad: defined ? along(-s, c) / (2 * gmax) : NaN,
    defined,
  };
}

/** Variance of x ex + y ey + g gxy. */
function quadratic([xx, yy, ss, xy, xs, ys]: TensorCovariance, x: number, y: number, g: number): number {
  return xx * x * x + yy * y * y + ss * g * g + 2 * (xy * x * y + xs * x * g + ys * y * g);
}
