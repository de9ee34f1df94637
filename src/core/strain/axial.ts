// Statistics of axes (directions that repeat after half a turn): in come angles in radians, out come means and
// differences in radians. Method: double the angle and use vectors (Mardia & Jupp, Directional Statistics, 2000).

export interface AxialMean {
  /** In [0, pi); NaN where the axes cancel and no mean exists. */
  readonly meanRad: number;
  /** Length of the mean resultant of the doubled angles, 0 (no preference) to 1 (all alike); NaN without any angle. */
  readonly resultant: number;
  /** Axial standard deviation, half the circular one of the doubled angles; NaN where the mean is undefined. */
  readonly deviationRad: number;
}

/** Below this resultant the axes cancel to rounding: `0 and 90 degrees` has no mean. */
const noPreference = 1e-12;

/** Brings any angle to [0, pi). */
export function axis(angleRad: number): number {
  const turned = angleRad - Math.PI * Math.floor(angleRad / Math.PI);
  // Rounding can leave it a hair outside at either end.
  return turned >= Math.PI ? 0 : Math.max(0, turned);
}

/** Weighted mean axis; angles or weights that are NaN are left out. */
export function axialMean(anglesRad: ArrayLike<number>, weights?: ArrayLike<number>): AxialMean {
  let cosine = 0;
  let sine = 0;
  let total = 0;
  for (let i = 0; i < anglesRad.length; i++) {
    const angle = anglesRad[i]!;
    const weight = weights ? weights[i]! : 1;
    if (Number.isNaN(angle) || Number.isNaN(weight)) continue;
    cosine += weight * Math.cos(2 * angle);
    sine += weight * Math.sin(2 * angle);
    total += weight;
  }
  if (!(total > 0)) return { meanRad: NaN, resultant: NaN, deviationRad: NaN };
  const resultant = Math.min(1, Math.hypot(cosine, sine) / total);
  if (resultant < noPreference) return { meanRad: NaN, resultant, deviationRad: NaN };
  const deviationRad = 0.5 * Math.sqrt(-2 * Math.log(resultant));
  return { meanRad: axis(0.5 * Math.atan2(sine, cosine)), resultant, deviationRad };
}

/** Shortest turn from axis `fromRad` to axis `toRad`, in [-pi/2, pi/2); counterclockwise is positive. */
export function axialDifference(toRad: number, fromRad: number): number {
  const turned = axis(toRad - fromRad);
  return turned < Math.PI / 2 ? turned : turned - Math.PI;
}
