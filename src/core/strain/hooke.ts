// Plane-stress Hooke's law for an isotropic plate: mechanical strain (dimensionless, tension positive, gxy engineering
// shear) -> stress in pascal, its covariance, von Mises stress, margin to yield and elastic energy density.
// Source: Timoshenko & Goodier, Theory of Elasticity, plane stress; von Mises 1913. Stress is against the datum: what
// the plate carried before is unknown.
import type { TensorCovariance } from './rosette.ts';

export interface Material {
  readonly youngsModulusPa: number;
  readonly poissonsRatio: number;
  readonly yieldStressPa: number;
}

export interface PlaneStress {
  readonly sx: number;
  readonly sy: number;
  readonly txy: number;
}

/** E / (1 - nu^2). */
export function plateModulus({ youngsModulusPa, poissonsRatio }: Material): number {
  return youngsModulusPa / (1 - poissonsRatio ** 2);
}

/** E / (2 (1 + nu)). */
export function shearModulus({ youngsModulusPa, poissonsRatio }: Material): number {
  return youngsModulusPa / (2 * (1 + poissonsRatio));
}

export function planeStress(ex: number, ey: number, gxy: number, material: Material): PlaneStress {
  const modulus = plateModulus(material);
  const nu = material.poissonsRatio;
  return { sx: modulus * (ex + nu * ey), sy: modulus * (ey + nu * ex), txy: shearModulus(material) * gxy };
}

/** Principal stresses, s1 >= s2; in an isotropic plate they lie along the principal strains. */
export function principalStress(e1: number, e2: number, material: Material): { s1: number; s2: number } {
  const modulus = plateModulus(material);
  const nu = material.poissonsRatio;
  return { s1: modulus * (e1 + nu * e2), s2: modulus * (e2 + nu * e1) };
}

export function vonMises(s1: number, s2: number): number {
  return Math.sqrt(s1 * s1 - s1 * s2 + s2 * s2);
}

/** yield / von Mises - 1: 0 at yield, negative beyond; NaN without any stress, where there is no ratio. */
export function yieldMargin(vonMisesPa: number, yieldStressPa: number): number {
  return vonMisesPa > 0 && yieldStressPa > 0 ? yieldStressPa / vonMisesPa - 1 : NaN;
}

/** Covariance of (sx, sy, txy) in Pa^2 from that of (ex, ey, gxy). */
export function stressCovariance(covariance: TensorCovariance, material: Material): TensorCovariance {
  return mapped(covariance, plateModulus(material), material.poissonsRatio, shearModulus(material));
}

/** Covariance under the map (x, y, s) -> (m (x + nu y), m (y + nu x), g s), which Hooke's law and Kirchhoff share. */
export function mapped([xx, yy, ss, xy, xs, ys]: TensorCovariance, m: number, nu: number, g: number): TensorCovariance {
  return [
    m * m * (xx + 2 * nu * xy + nu * nu * yy),
    m * m * (yy + 2 * nu * xy + nu * nu * xx),
    g * g * ss,
    m * m * (nu * (xx + yy) + (1 + nu * nu) * xy),
    m * g * (xs + nu * ys),
    m * g * (ys + nu * xs),
  ];
}

/** Standard errors of s1, s2 and von Mises stress, first order; `gradient` in (sx, sy, txy). */
export function stressErrors(
  { sx, sy, txy }: PlaneStress,
  covariance: TensorCovariance,
): { s1: number; s2: number; vonMises: number } {
  const difference = sx - sy;
  const span = Math.hypot(difference, 2 * txy);
  const c = span === 0 ? 1 : difference / span;
  const s = span === 0 ? 0 : (2 * txy) / span;
  const sd = (x: number, y: number, g: number): number => {
    const [xx, yy, ss, xy, xs, ys] = covariance;
    return Math.sqrt(Math.max(0, xx * x * x + yy * y * y + ss * g * g + 2 * (xy * x * y + xs * x * g + ys * y * g)));
  };
  const v = Math.sqrt(sx * sx - sx * sy + sy * sy + 3 * txy * txy);
  return {
    s1: sd(0.5 + 0.5 * c, 0.5 - 0.5 * c, s),
    s2: sd(0.5 - 0.5 * c, 0.5 + 0.5 * c, -s),
    vonMises: v > 0 ? sd((2 * sx - sy) / (2 * v), (2 * sy - sx) / (2 * v), (3 * txy) / v) : NaN,
  };
}

/** Stored elastic energy per volume, J/m^3: half of stress times strain, from the principal strains. */
export function energyDensity(e1: number, e2: number, material: Material): number {
  return 0.5 * plateModulus(material) * (e1 * e1 + e2 * e2 + 2 * material.poissonsRatio * e1 * e2);
}
