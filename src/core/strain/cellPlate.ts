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
import type { ZeroedSolution } from './rosetteSolver.ts';

export class CellPlate {
  /** Undefined where the cell has not two planes with a tensor and a known height each. */
  readonly fit: PlaneFit | undefined;
  readonly plate: Plate;
  readonly #heights: readonly number[];
  readonly #weights: readonly number[];
  readonly #strain: CellStrain;
  /** Errors of the moments, and the solutions of the planes from which they come: rows that follow each other share them. */
  #errors: InPlane = unknown;
  #errorsOf: readonly (ZeroedSolution | undefined)[] = [];

  constructor(header: LogHeader, layout: CellLayout, strain: CellStrain) {
    this.plate = header.plate;
    this.#strain = strain;
    this.#heights = layout.rosettes.map(({ plane }) => header.planes[plane]?.heightM ?? NaN);
    const solutions = layout.rosettes.map((_, r) => strain.solver(r).full);
    this.#weights = planeWeights(solutions);
    this.fit = planeFit(this.#heights, this.#weights);
  }

  /** Undefined where fewer than two planes have a tensor in this row. */
  at(block: CellBlock, row: number): PlateStrain | undefined {
    const fit = this.#fitAt(block, row);
    return fit && plateStrain(fit, tensorsAt(block, row));
  }

  /** Standard errors of Mx, My, Mxy, N m/m, by the channels and planes present in this row; NaN where noise is unknown. */
  momentErrors(block: CellBlock, row: number): InPlane {
    const fit = this.#fitAt(block, row);
    if (!fit) return unknown;
    const solutions = block.rosettes.map(({ strain }, r) => this.#strain.solver(r).at(strain, row));
    const whole = fit === this.fit;
    if (whole && solutions.length === this.#errorsOf.length && solutions.every((s, r) => s === this.#errorsOf[r])) {
      return this.#errors;
    }
    const noise = solutions.map((solution) => ({
      covariance: solution?.covariance ?? noCovariance,
      common: solution && this.#strain.sharedTemperature ? solution.common : nothing,
    }));
    const covariance = combinedCovariance(fit.curvature, noise);
    const [xx, yy, ss] = momentCovariance(covariance, this.plate, this.plate.thicknessM);
    const errors: InPlane = [Math.sqrt(xx), Math.sqrt(yy), Math.sqrt(ss)];
    if (whole) [this.#errors, this.#errorsOf] = [errors, solutions];
    return errors;
  }

  #fitAt(block: CellBlock, row: number): PlaneFit | undefined {
    if (!this.fit) return undefined;
    const isMissing = (p: number): boolean => Number.isNaN(block.rosettes[p]!.ex[row] ?? NaN);
    if (!this.#weights.some((weight, p) => weight > 0 && isMissing(p))) return this.fit;
    return planeFit(
      this.#heights,
      this.#weights.map((w, p) => (isMissing(p) ? 0 : w)),
    );
  }
}

const unknown: InPlane = [NaN, NaN, NaN];
const nothing: InPlane = [0, 0, 0];
const noCovariance: TensorCovariance = [0, 0, 0, 0, 0, 0];

function tensorsAt(block: CellBlock, row: number): InPlane[] {
  return block.rosettes.map(({ ex, ey, gxy }) => [ex[row] ?? NaN, ey[row] ?? NaN, gxy[row] ?? NaN]);
}

/** 1/variance, alike where that of any plane is unknown; 0 keeps a plane without a tensor out. */
function planeWeights(solutions: readonly (ZeroedSolution | undefined)[]): number[] {
  const variances = solutions.map((s) => s && s.covariance[0] + s.covariance[1]);
  const known = variances.every((v) => v === undefined || v > 0);
  return variances.map((v) => (v === undefined ? 0 : known ? 1 / v : 1));
}

type OfPlate = (strain: PlateStrain, cell: CellPlate, block: CellBlock, row: number) => number;

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
  mx_err: (_, cell, block, row) => cell.momentErrors(block, row)[0],
  my_err: (_, cell, block, row) => cell.momentErrors(block, row)[1],
  mxy_err: (_, cell, block, row) => cell.momentErrors(block, row)[2],
  vm_top: (strain, cell) => faceMises(strain, cell, 1),
  margin_top: margin(1),
  vm_bottom: (strain, cell) => faceMises(strain, cell, -1),
  margin_bottom: margin(-1),
};
