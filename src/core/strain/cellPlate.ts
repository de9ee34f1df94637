// One cell's tensors on two or more planes -> mid-plane strain, curvature and what follows from them, row by row.
// A plane without a tensor in a row is left out of that row's fit where enough others remain.
import type { LogHeader, Plate } from '../header/logHeader.ts';
import type { CellBlock } from './cellBlock.ts';
import type { CellStrain } from './cellStrain.ts';
import { principalStress, vonMises, yieldMargin } from './hooke.ts';
import type { CellLayout } from './layout.ts';
import {
  combinedCovariance,
  membraneForces,
  momentCovariance,
  moments,
  planeFit,
  plateStrain,
  strainAt,
} from './plates.ts';
import type { InPlane, PlaneFit, PlateStrain } from './plates.ts';
import { principal } from './principal.ts';
import type { TensorCovariance } from './rosette.ts';

export class CellPlate {
  /** Undefined where the cell has not two planes with a tensor and a known height each. */
  readonly fit: PlaneFit | undefined;
  readonly plate: Plate;
  readonly #heights: readonly number[];
  readonly #weights: readonly number[];
  /** NaN where the noise is unknown. */
  readonly #momentCovariance: TensorCovariance | undefined;

  constructor(header: LogHeader, layout: CellLayout, strain: CellStrain) {
    this.plate = header.plate;
    this.#heights = layout.rosettes.map(({ plane }) => header.planes[plane]?.heightM ?? NaN);
    const solutions = layout.rosettes.map((_, r) => strain.solver(r).full);
    this.#weights = planeWeights(solutions.map((s) => (s ? s.covariance[0] + s.covariance[1] : 0)));
    this.fit = planeFit(this.#heights, this.#weights);
    if (!this.fit) return;
    const none: InPlane = [0, 0, 0];
    const noise = solutions.map((s) => ({
      covariance: s?.covariance ?? ([0, 0, 0, 0, 0, 0] as TensorCovariance),
      common: s && strain.sharedTemperature ? s.common : none,
    }));
    const covariance = combinedCovariance(this.fit.curvature, noise);
    this.#momentCovariance = momentCovariance(covariance, header.plate, header.plate.thicknessM);
  }

  /** Undefined where fewer than two planes have a tensor in this row. */
  at(block: CellBlock, row: number): PlateStrain | undefined {
    if (!this.fit) return undefined;
    const tensors = block.rosettes.map(({ ex, ey, gxy }): InPlane => [ex[row] ?? NaN, ey[row] ?? NaN, gxy[row] ?? NaN]);
    const missing = (p: number): boolean => Number.isNaN(tensors[p]![0]);
    const whole = !this.#weights.some((weight, p) => weight > 0 && missing(p));
    const fit = whole
      ? this.fit
      : planeFit(
          this.#heights,
          this.#weights.map((w, p) => (missing(p) ? 0 : w)),
        );
    return fit && plateStrain(fit, tensors);
  }

  /** Standard errors of Mx, My, Mxy with all planes present, N m/m. */
  momentErrors(): InPlane {
    const covariance = this.#momentCovariance;
    return covariance
      ? [Math.sqrt(covariance[0]), Math.sqrt(covariance[1]), Math.sqrt(covariance[2])]
      : [NaN, NaN, NaN];
  }
}

/** 1/variance, alike where unknown; 0 keeps a plane without a tensor out. */
function planeWeights(variances: readonly number[]): number[] {
  const known = variances.every((v) => !Number.isNaN(v));
  return variances.map((v) => (v === 0 ? 0 : known ? 1 / v : 1));
}

type OfPlate = (strain: PlateStrain, cell: CellPlate) => number;

function faceMises(strain: PlateStrain, { plate }: CellPlate, side: 1 | -1): number {
  const { e1, e2 } = principal(...strainAt(strain, (side * plate.thicknessM) / 2));
  const { s1, s2 } = principalStress(e1, e2, plate);
  return vonMises(s1, s2);
}

const force =
  (c: 0 | 1 | 2): OfPlate =>
  ({ mid }, { plate }) =>
    membraneForces(mid, plate, plate.thicknessM)[c];
const moment =
  (c: 0 | 1 | 2): OfPlate =>
  ({ curvature }, { plate }) =>
    moments(curvature, plate, plate.thicknessM)[c];
const margin =
  (side: 1 | -1): OfPlate =>
  (strain, cell) =>
    yieldMargin(faceMises(strain, cell, side), cell.plate.yieldStressPa);

/** Every quantity of a cell's plate strain in SI, by its suffix in core/display/quantities. */
export const plateQuantities: Readonly<Record<string, OfPlate>> = {
  kx: ({ curvature }) => curvature[0],
  ky: ({ curvature }) => curvature[1],
  kxy: ({ curvature }) => curvature[2],
  nx: force(0),
  ny: force(1),
  nxy: force(2),
  mx: moment(0),
  my: moment(1),
  mxy: moment(2),
  mx_err: (_, cell) => cell.momentErrors()[0],
  my_err: (_, cell) => cell.momentErrors()[1],
  mxy_err: (_, cell) => cell.momentErrors()[2],
  vm_top: (strain, cell) => faceMises(strain, cell, 1),
  margin_top: margin(1),
  vm_bottom: (strain, cell) => faceMises(strain, cell, -1),
  margin_bottom: margin(-1),
};
