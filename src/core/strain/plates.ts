// Strain tensors at two or more heights of a plate -> mid-plane strain and curvature, membrane forces, moments, and the
// strain at the faces. Kirchhoff's plate: e(z) = e0 + z k, z from the mid-plane, positive up, so a positive curvature
// stretches the top. k = -w,xx, -w,yy, -2 w,xy with w the deflection upwards. M = D (kx + nu ky), D (ky + nu kx),
// D (1 - nu)/2 kxy is the integral of stress times z per length: positive where the top is in tension. N likewise with
// E t/(1 - nu^2). Source: Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells, ch. 2 and 4 (their Mxy has the
// other sign).
import { mapped, plateModulus, shearModulus } from './hooke.ts';
import type { Material } from './hooke.ts';
import type { TensorCovariance } from './rosette.ts';

/** x, y and engineering shear (or twist) of anything that lives in the plane. */
export type InPlane = readonly [number, number, number];

/** Least-squares line through the planes: e0 = sum mid[p] e[p], k = sum curvature[p] e[p]. */
export interface PlaneFit {
  readonly mid: readonly number[];
  readonly curvature: readonly number[];
}

/** Planes nearer to one another than this are one height: a curvature from them would be noise. */
export const leastPlaneSpacingM = 1e-5;

/**
 * Fit factors for planes at these heights. `weights` are proportional to 1/variance of a plane's strain; a plane of
 * weight 0 or NaN height is left out. Undefined where fewer than two heights remain.
 */
export function planeFit(heightsM: readonly number[], weights?: readonly number[]): PlaneFit | undefined {
  const weight = heightsM.map((z, i) => (Number.isNaN(z) ? 0 : (weights?.[i] ?? 1)));
  const height = heightsM.map((z) => (Number.isNaN(z) ? 0 : z));
  const inUse = height.filter((_, i) => weight[i]! > 0);
  if (!(Math.max(...inUse) - Math.min(...inUse) >= leastPlaneSpacingM)) return undefined;
  const total = weight.reduce((sum, w) => sum + w, 0);
  const centre = height.reduce((sum, z, i) => sum + weight[i]! * z, 0) / total;
  const spread = height.reduce((sum, z, i) => sum + weight[i]! * (z - centre) ** 2, 0);
  const curvature = height.map((z, i) => (weight[i]! * (z - centre)) / spread);
  return { curvature, mid: weight.map((w, i) => w / total - centre * curvature[i]!) };
}

export interface PlateStrain {
  readonly mid: InPlane;
  /** 1/m. */
  readonly curvature: InPlane;
}

export function plateStrain(fit: PlaneFit, strains: readonly InPlane[]): PlateStrain {
  const combine = (factors: readonly number[]): InPlane => {
    const component = (c: 0 | 1 | 2): number =>
      factors.reduce((sum, factor, p) => (factor === 0 ? sum : sum + factor * strains[p]![c]), 0);
    return [component(0), component(1), component(2)];
  };
  return { mid: combine(fit.mid), curvature: combine(fit.curvature) };
}

/** The noise of one plane's tensor: its covariance, and the part of it that the cell's temperature gives to all planes. */
export interface PlaneNoise {
  readonly covariance: TensorCovariance;
  readonly common: InPlane;
}

/** Covariance of a combination of planes, e.g. of the curvature with `fit.curvature`. */
export function combinedCovariance(factors: readonly number[], planes: readonly PlaneNoise[]): TensorCovariance {
  const inUse = factors.map((factor, p) => ({ factor, ...planes[p]! })).filter(({ factor }) => factor !== 0);
  const entry = (k: number, r: 0 | 1 | 2, q: 0 | 1 | 2): number => {
    const own = inUse.reduce((sum, { factor, covariance, common }) => {
      return sum + factor * factor * (covariance[k]! - common[r] * common[q]);
    }, 0);
    const shared = (c: 0 | 1 | 2): number => inUse.reduce((sum, { factor, common }) => sum + factor * common[c], 0);
    return own + shared(r) * shared(q);
  };
  return [entry(0, 0, 0), entry(1, 1, 1), entry(2, 2, 2), entry(3, 0, 1), entry(4, 0, 2), entry(5, 1, 2)];
}

/** Strain at height z, e.g. half the thickness for the top face. */
export function strainAt({ mid, curvature }: PlateStrain, heightM: number): InPlane {
  return [mid[0] + heightM * curvature[0], mid[1] + heightM * curvature[1], mid[2] + heightM * curvature[2]];
}

/** E t^3 / (12 (1 - nu^2)), N m. */
export function bendingStiffness(material: Material, thicknessM: number): number {
  return (plateModulus(material) * thicknessM ** 3) / 12;
}

/** Nx, Ny, Nxy in N/m from mid-plane strain. */
export function membraneForces([x, y, s]: InPlane, material: Material, thicknessM: number): InPlane {
  const stiffness = plateModulus(material) * thicknessM;
  const nu = material.poissonsRatio;
  return [stiffness * (x + nu * y), stiffness * (y + nu * x), shearModulus(material) * thicknessM * s];
}

/** Mx, My, Mxy in N m/m from curvature in 1/m. */
export function moments([x, y, s]: InPlane, material: Material, thicknessM: number): InPlane {
  const stiffness = bendingStiffness(material, thicknessM);
  const nu = material.poissonsRatio;
  return [stiffness * (x + nu * y), stiffness * (y + nu * x), ((stiffness * (1 - nu)) / 2) * s];
}

/** Covariance of (Mx, My, Mxy) from that of the curvature. */
export function momentCovariance(
  covariance: TensorCovariance,
  material: Material,
  thicknessM: number,
): TensorCovariance {
  const stiffness = bendingStiffness(material, thicknessM);
  return mapped(covariance, stiffness, material.poissonsRatio, (stiffness * (1 - material.poissonsRatio)) / 2);
}
