// Strain along several directions -> in-plane strain tensor, by weighted least squares.
// e(t) = ex cos^2 t + ey sin^2 t + gxy sin t cos t, gxy the engineering shear, t counterclockwise from +x in radians.
// With three directions the solution is exact; with more, what does not fit stays as a residual.
// Source: Hibbeler, Mechanics of Materials, strain rosettes; Draper & Smith, Applied Regression Analysis, weighted fits.

import { conditionNumber } from '../header/resolve/conditionNumber.ts';
import type { LogHeader } from '../header/logHeader.ts';
import type { Rosette } from './layout.ts';

/** A covariance of (ex, ey, gxy): xx, yy, ss (variances), xy, xs, ys. */
export type TensorCovariance = readonly [number, number, number, number, number, number];

export interface RosetteSolution {
  /** Three rows (ex, ey, gxy) of one factor per channel, row by row; 0 for channels left out. */
  readonly inverse: Float64Array;
  /** Covariance of the tensor; NaN where the noise is unknown. */
  readonly covariance: TensorCovariance;
  /** Tensor that one standard deviation of the cell's temperature reading moves: the part of the noise all planes share. */
  readonly common: readonly [number, number, number];
  /** Ratio of the largest to the smallest singular value of the design matrix; Infinity where it is singular. */
  readonly condition: number;
  /** Number of channels in use beyond three. */
  readonly redundancy: number;
  /**
   * What a healthy row is expected to leave unexplained: root of the expected sum of squares per degree of freedom. NaN
   * without redundancy, or where the noise is unknown.
   */
  readonly residualNoise: number;
}

/**
 * Above this condition number of the design matrix the directions are too close to call them three: noise in gxy or ey
 * would be magnified some fifty times. Well-spread rosettes have 2 to 3.2; 0/20/40 degrees has 16.6.
 */
export const conditionLimit = 50;

/** The row of the design matrix for one direction. */
export function designRow(directionRad: number): [number, number, number] {
  const c = Math.cos(directionRad);
  const s = Math.sin(directionRad);
  return [c * c, s * s, s * c];
}

/** Condition number of the unweighted design matrix, Infinity for fewer than three directions. */
export function rosetteCondition(directionsRad: readonly number[]): number {
  return directionsRad.length < 3 ? Infinity : conditionNumber(directionsRad);
}

/** Whether the rosette's directions give a tensor. */
export function hasTensor(header: LogHeader, { channels }: Rosette): boolean {
  return rosetteCondition(channels.map((c) => header.channels[c]!.directionRad)) <= conditionLimit;
}

/**
 * Solves for the channels with `use[i]` true. `noise` is one reading's standard deviation per channel (strain), NaN
 * where unknown: channels then weigh alike and the covariance is NaN. `common` is the strain per channel that one
 * standard deviation of the cell's temperature reading moves, all channels at once.
 * Undefined where the directions in use do not span the tensor.
 */
export function solveRosette(
  directionsRad: readonly number[],
  noise: readonly number[],
  common?: readonly number[],
  use?: readonly boolean[],
): RosetteSolution | undefined {
  const picked = directionsRad.map((_, i) => i).filter((i) => use?.[i] ?? true);
  const directions = picked.map((i) => directionsRad[i]!);
  const condition = rosetteCondition(directions);
  if (!(condition <= conditionLimit)) return undefined;
  const weights = fitWeights(picked.map((i) => noise[i] ?? NaN));
  const normal = invertSymmetric(normalMatrix(directions, weights));
  const n = directionsRad.length;
  const inverse = new Float64Array(3 * n);
  picked.forEach((channel, k) => {
    const row = designRow(directions[k]!);
    for (let r = 0; r < 3; r++) {
      const value = normal[r]![0] * row[0] + normal[r]![1] * row[1] + normal[r]![2] * row[2];
      inverse[r * n + channel] = value * weights[k]!;
    }
  });
  const row = (r: number): Float64Array => inverse.subarray(r * n, (r + 1) * n);
  const shared = (r: number): number => picked.reduce((sum, i) => sum + row(r)[i]! * (common?.[i] ?? 0), 0);
  const moved = [shared(0), shared(1), shared(2)] as const;
  const entry = (r: number, q: number): number =>
    picked.reduce((sum, i) => sum + row(r)[i]! * row(q)[i]! * (noise[i] ?? NaN) ** 2, 0) + moved[r]! * moved[q]!;
  const residualNoise = expectedResidual(
    directions,
    picked.map((i) => [row(0)[i]!, row(1)[i]!, row(2)[i]!]),
    picked.map((i) => noise[i] ?? NaN),
    picked.map((i) => common?.[i] ?? 0),
  );
  return {
    inverse,
    covariance: [entry(0, 0), entry(1, 1), entry(2, 2), entry(0, 1), entry(0, 2), entry(1, 2)],
    common: moved,
    condition,
    redundancy: picked.length - 3,
    residualNoise,
  };
}

/**
 * Residuals are (1 - H) times the noise, H the fit's hat matrix (Draper & Smith, ch. 8); `solved` are its columns of the
 * inverse, one a channel. Where channels weigh by their noise, those that weigh little leave the more unexplained.
 */
function expectedResidual(
  directionsRad: readonly number[],
  solved: readonly (readonly [number, number, number])[],
  noise: readonly number[],
  common: readonly number[],
): number {
  const freedom = directionsRad.length - 3;
  let sum = 0;
  directionsRad.forEach((direction, i) => {
    const [x, y, s] = designRow(direction);
    let shared = 0;
    solved.forEach(([toX, toY, toS], k) => {
      const left = (i === k ? 1 : 0) - (x * toX + y * toY + s * toS);
      sum += (left * noise[k]!) ** 2;
      shared += left * common[k]!;
    });
    sum += shared ** 2;
  });
  return freedom > 0 && sum > 0 ? Math.sqrt(sum / freedom) : NaN;
}

/**
 * 1/noise^2, relative to the median. A channel quieter than half its fellows' median does not weigh more than that:
 * a stuck reading has no noise at all and must not rule the fit.
 */
function fitWeights(noise: readonly number[]): number[] {
  const known = noise.filter((s) => s > 0).sort((a, b) => a - b);
  const middle = known[known.length >> 1];
  if (middle === undefined) return noise.map(() => 1);
  return noise.map((s) => (Number.isNaN(s) ? 1 : (middle / Math.max(s, middle / 2)) ** 2));
}

type Matrix3 = readonly [
  readonly [number, number, number],
  readonly [number, number, number],
  readonly [number, number, number],
];

function normalMatrix(directionsRad: readonly number[], weights: readonly number[]): Matrix3 {
  const m = [
    [0, 0, 0],
    [0, 0, 0],
    [0, 0, 0],
  ] as [[number, number, number], [number, number, number], [number, number, number]];
  directionsRad.forEach((direction, k) => {
    const row = designRow(direction);
    const weight = weights[k]!;
    for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) m[i]![j]! += weight * row[i]! * row[j]!;
  });
  return m;
}

function invertSymmetric(m: Matrix3): Matrix3 {
  const [[a, b, c], [, d, e], [, , f]] = m;
  const A = d * f - e * e;
  const B = c * e - b * f;
  const C = b * e - c * d;
  const det = a * A + b * B + c * C;
  const D = (a * f - c * c) / det;
  const E = (b * c - a * e) / det;
  const F = (a * d - b * b) / det;
  return [
    [A / det, B / det, C / det],
    [B / det, D, E],
    [C / det, E, F],
  ];
}
