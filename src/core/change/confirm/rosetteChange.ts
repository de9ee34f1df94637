// What a change of a cell's channels means for one of its rosettes: the change of the tensor, and by how much the principal
// direction turned, each with its error. Strains dimensionless.
import { axialDifference } from '../../strain/axial.ts';
import { principal, principalErrors } from '../../strain/principal.ts';
import type { TensorCovariance } from '../../strain/rosette.ts';
import type { FrameRosette } from '../cellFrame.ts';
import type { RosetteChange } from '../findings.ts';

/** `covariance`: of the change of all `m` channels; the level after has `afterShare` of it, the level before the rest. */
export function rosetteChange(
  rosette: FrameRosette,
  delta: readonly number[],
  present: readonly boolean[],
  absolute: readonly number[],
  covariance: readonly number[],
  m: number,
  afterShare: number,
): RosetteChange {
  const { plane, start, count, solver } = rosette;
  const solution = solver.at(believed(start, count, present), 0);
  const none = [NaN, NaN, NaN] as const;
  if (!solution) {
    const unknown = [NaN, NaN, NaN, NaN, NaN, NaN] as const;
    return { plane, change: none, covariance: unknown, turnDeg: NaN, turnErrorDeg: NaN };
  }
  const { inverse } = solution;
  const apply = (values: readonly number[], r: number): number => along(inverse, r, values, start, count);
  const noise = tensorCovariance(inverse, covariance, m, start, count);
  const change = [apply(delta, 0), apply(delta, 1), apply(delta, 2)] as const;
  const after = [0, 1, 2].map((r) => apply(absolute, r) - solution.zero[r]!) as [number, number, number];
  const before = after.map((v, r) => v - change[r]!) as [number, number, number];
  const from = principal(...before);
  const to = principal(...after);
  const shareOf = (share: number): TensorCovariance => noise.map((c) => share * c) as unknown as TensorCovariance;
  const fromError = principalErrors(...before, shareOf(1 - afterShare));
  const toError = principalErrors(...after, shareOf(afterShare));
  const defined = fromError.defined && toError.defined;
  return {
    plane,
    change,
    covariance: noise,
    turnDeg: defined ? degrees(axialDifference(to.dirRad, from.dirRad)) : NaN,
    turnErrorDeg: defined ? degrees(Math.hypot(fromError.dirRad, toError.dirRad)) : NaN,
  };
}

/** The tensor that the changes of a rosette's channels make; NaN where those present make none. */
export function tensorAlong(
  { start, count, solver }: FrameRosette,
  delta: readonly number[],
  present: readonly boolean[],
): readonly [number, number, number] {
  const inverse = solver.at(believed(start, count, present), 0)?.inverse;
  if (!inverse) return [NaN, NaN, NaN];
  return [0, 1, 2].map((r) => along(inverse, r, delta, start, count)) as [number, number, number];
}

function believed(start: number, count: number, present: readonly boolean[]): Float64Array[] {
  return Array.from({ length: count }, (_, i) => Float64Array.of(present[start + i] ? 0 : NaN));
}

/** Component `r` of the tensor that the channels from `start` on make. */
function along(inverse: ArrayLike<number>, r: number, values: readonly number[], start: number, count: number): number {
  let sum = 0;
  for (let i = 0; i < count; i++) {
    const factor = inverse[r * count + i]!;
    // A channel that is left out has no value.
    if (factor !== 0) sum += factor * values[start + i]!;
  }
  return sum;
}

function tensorCovariance(
  inverse: ArrayLike<number>,
  covariance: readonly number[],
  m: number,
  start: number,
  count: number,
): TensorCovariance {
  const entry = (r: number, q: number): number => {
    let sum = 0;
    for (let i = 0; i < count; i++) {
      for (let k = 0; k < count; k++) {
        const share = inverse[r * count + i]! * inverse[q * count + k]!;
        sum += share * covariance[(start + i) * m + start + k]!;
      }
    }
    return sum;
  };
  return [entry(0, 0), entry(1, 1), entry(2, 2), entry(0, 1), entry(0, 2), entry(1, 2)];
}

function degrees(rad: number): number {
  return (rad * 180) / Math.PI;
}
