// Every quantity of one rosette at one row, in SI, from the cell's converted block. Names are the suffixes of
// core/display/quantities. Undefined values are NaN.
import type { Plate } from '../header/logHeader.ts';
import type { RosetteBlock } from './cellBlock.ts';
import {
  energyDensity,
  planeStress,
  principalStress,
  stressCovariance,
  stressErrors,
  vonMises,
  yieldMargin,
} from './hooke.ts';
import { principalErrors } from './principal.ts';
import type { PrincipalErrors } from './principal.ts';
import type { RosetteSolver } from './rosetteSolver.ts';

export interface RosetteSource {
  readonly block: RosetteBlock;
  readonly solver: RosetteSolver;
  readonly plate: Plate;
}

type AtRow = (source: RosetteSource, row: number) => number;

const stresses = ({ block, plate }: RosetteSource, i: number): { s1: number; s2: number } =>
  principalStress(block.e1[i]!, block.e2[i]!, plate);

const mises: AtRow = (source, i) => {
  const { s1, s2 } = stresses(source, i);
  return vonMises(s1, s2);
};

/** Standard errors of the principal values at one row, by the channels present there; NaN or undefined without a tensor. */
function errorsAt({ block, solver }: RosetteSource, row: number): PrincipalErrors | undefined {
  const solution = solver.at(block.strain, row);
  return (
    solution && principalErrors(block.ex[row]!, block.ey[row]!, block.gxy[row]!, solution.covariance, solution.shear)
  );
}

const misesError: AtRow = ({ block, solver, plate }, i) => {
  const solution = solver.at(block.strain, i);
  if (!solution) return NaN;
  const stress = planeStress(block.ex[i]!, block.ey[i]!, block.gxy[i]!, plate);
  return stressErrors(stress, stressCovariance(solution.covariance, plate)).vonMises;
};

const residual: AtRow = ({ block, solver }, i) =>
  solver.residual(block.strain, i, block.ex[i]!, block.ey[i]!, block.gxy[i]!);

export const rosetteQuantities: Readonly<Record<string, AtRow>> = {
  ex: ({ block }, i) => block.ex[i]!,
  ey: ({ block }, i) => block.ey[i]!,
  gxy: ({ block }, i) => block.gxy[i]!,
  e1: ({ block }, i) => block.e1[i]!,
  e2: ({ block }, i) => block.e2[i]!,
  gmax: ({ block }, i) => block.e1[i]! - block.e2[i]!,
  dir: ({ block }, i) => block.dir[i]!,
  dir_err: (source, i) => errorsAt(source, i)?.dirRad ?? NaN,
  s1: (source, i) => stresses(source, i).s1,
  s2: (source, i) => stresses(source, i).s2,
  vm: mises,
  margin: (source, i) => yieldMargin(mises(source, i), source.plate.yieldStressPa),
  energy: ({ block, plate }, i) => energyDensity(block.e1[i]!, block.e2[i]!, plate),
  resid: residual,
  e1_err: (source, i) => errorsAt(source, i)?.e1 ?? NaN,
  e2_err: (source, i) => errorsAt(source, i)?.e2 ?? NaN,
  vm_err: misesError,
  resid_ratio: (source, i) => residual(source, i) / (source.solver.at(source.block.strain, i)?.residualNoise ?? NaN),
};
