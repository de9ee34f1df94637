// Other libraries' eigenvalues, least squares and matrix inverses over thousands of random cases: the largest
// disagreement, relative to the size of the tensor, must be rounding.
import { all, create } from 'mathjs';
import { EigenvalueDecomposition, Matrix, SingularValueDecomposition, pseudoInverse } from 'ml-matrix';
import { RandomStream } from '../../../src/cli/simulation/random.ts';
import { principal, strainAlong } from '../../../src/core/strain/principal.ts';
import { designRow, solveRosette } from '../../../src/core/strain/rosette.ts';
import type { Check } from '../check.ts';
import { floor } from '../check.ts';

const math = create(all!);
const cases = 4000;

type Tensor = readonly [number, number, number];

function worst(name: string, of: (random: RandomStream) => number, count = cases): number {
  const random = new RandomStream(7, name);
  let largest = 0;
  for (let i = 0; i < count; i++) largest = Math.max(largest, of(random));
  return largest;
}

/** Strains of very different sizes, 1e-9 to 1e-2, either sign. */
function randomTensor(random: RandomStream): Tensor {
  const size = 10 ** random.between(-9, -2);
  return [size * random.between(-1, 1), size * random.between(-1, 1), size * random.between(-2, 2)];
}

const sizeOf = ([ex, ey, gxy]: Tensor): number => Math.max(Math.abs(ex), Math.abs(ey), Math.abs(gxy));

function fromEigenvalues(tensor: Tensor, values: readonly number[]): number {
  const { e1, e2 } = principal(...tensor);
  const [low, high] = [Math.min(...values), Math.max(...values)];
  return Math.max(Math.abs(e1 - high), Math.abs(e2 - low)) / sizeOf(tensor);
}

const matrixOf = ([ex, ey, gxy]: Tensor): [number[], number[]] => [
  [ex, gxy / 2],
  [gxy / 2, ey],
];

const eigen: Check[] = [
  {
    source: 'mathjs eigs',
    quantity: 'principal strains',
    got: () =>
      worst('mathjs', (random) => {
        const tensor = randomTensor(random);
        // Scaled to about one: mathjs takes small matrices for zero.
        const scaled = tensor.map((value) => value / sizeOf(tensor)) as unknown as Tensor;
        return fromEigenvalues(scaled, math.eigs(matrixOf(scaled)).values as number[]);
      }),
  },
  {
    source: 'ml-matrix, symmetric eigenvalue decomposition',
    quantity: 'principal strains',
    got: () =>
      worst('ml-matrix', (random) => {
        const tensor = randomTensor(random);
        const values = new EigenvalueDecomposition(new Matrix(matrixOf(tensor)), { assumeSymmetric: true });
        return fromEigenvalues(tensor, values.realEigenvalues);
      }),
  },
  {
    source: 'ml-matrix, symmetric eigenvalue decomposition',
    quantity: 'principal direction: part of the unit vector across the eigenvector',
    got: () =>
      worst('direction', (random) => {
        const tensor = randomTensor(random);
        const { dirRad, gmax } = principal(...tensor);
        const found = new EigenvalueDecomposition(new Matrix(matrixOf(tensor)), { assumeSymmetric: true });
        const larger = found.realEigenvalues[0]! > found.realEigenvalues[1]! ? 0 : 1;
        const [x, y] = found.eigenvectorMatrix.getColumn(larger) as [number, number];
        const across = Math.abs(x * Math.sin(dirRad) - y * Math.cos(dirRad));
        // The eigenvector is as uncertain as the gap between the eigenvalues is small.
        return (across * gmax) / sizeOf(tensor);
      }),
  },
  {
    source: "Mohr's circle, drawn: strain along 0 to 180 deg in steps of 0.01 deg",
    quantity: 'principal strains as the extremes of strain over all directions, in squares of the step',
    got: () =>
      worst(
        'mohr',
        (random) => {
          const tensor = randomTensor(random);
          let [high, low] = [-Infinity, Infinity];
          for (let i = 0; i < 18_000; i++) {
            const strain = strainAlong(...tensor, (i * Math.PI) / 18_000);
            high = Math.max(high, strain);
            low = Math.min(low, strain);
          }
          // Between two steps a maximum is missed by at most gmax/2 (step)^2.
          const missed = ((principal(...tensor).gmax / 2) * (Math.PI / 18_000) ** 2) / sizeOf(tensor);
          return Math.max(0, fromEigenvalues(tensor, [high, low]) - missed);
        },
        50,
      ),
  },
].map((check) => ({ ...check, basis: 'another library', unit: 'of tensor', expected: 0, tolerance: floor }));

/** Random rosettes of three to eight directions, none closer than the condition limit allows. */
function randomRosette(random: RandomStream): number[] {
  const n = 3 + Math.floor(random.between(0, 6));
  const offset = random.between(0, Math.PI);
  return Array.from({ length: n }, (_, k) => offset + ((k + random.between(-0.3, 0.3)) * Math.PI) / n);
}

const leastSquares: Check[] = [
  {
    source: 'ml-matrix pseudoInverse',
    quantity: 'factors of the tensor for random rosettes of 3 to 8 directions',
    got: () =>
      worst('inverse', (random) => {
        const directions = randomRosette(random);
        const ours = solveRosette(
          directions,
          directions.map(() => NaN),
        )!.inverse;
        const theirs = pseudoInverse(new Matrix(directions.map(designRow))).to1DArray();
        return Math.max(...theirs.map((value, i) => Math.abs(value - ours[i]!)));
      }),
  },
  {
    source: 'ml-matrix, weighted: pseudoInverse of rows over their noise',
    quantity: 'factors of the tensor for random rosettes and noises',
    got: () =>
      worst('weighted', (random) => {
        const directions = randomRosette(random);
        // Within the factor that a quiet channel's weight may have over the median.
        const noise = directions.map(() => random.between(1, 1.9));
        const ours = solveRosette(directions, noise)!.inverse;
        const rows = directions.map((direction, i) => designRow(direction).map((value) => value / noise[i]!));
        const theirs = pseudoInverse(new Matrix(rows));
        return Math.max(
          ...directions.flatMap((_, i) =>
            [0, 1, 2].map((r) => Math.abs(theirs.get(r, i) / noise[i]! - ours[r * directions.length + i]!)),
          ),
        );
      }),
  },
  {
    source: 'ml-matrix, singular values',
    quantity: 'condition number of random rosettes, relative',
    got: () =>
      worst('condition', (random) => {
        const directions = randomRosette(random);
        const { condition } = solveRosette(directions, [])!;
        const theirs = new SingularValueDecomposition(new Matrix(directions.map(designRow))).condition;
        return Math.abs(condition / theirs - 1);
      }),
  },
].map((check) => ({ ...check, basis: 'another library', unit: '', expected: 0, tolerance: floor }));

export const libraryChecks: readonly Check[] = [...eigen, ...leastSquares];
