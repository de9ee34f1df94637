// Axes: directions that repeat after half a turn. Angles in radians.

/** Brings any angle to [0, pi). */
export function axis(angleRad: number): number {
  const turned = angleRad - Math.PI * Math.floor(angleRad / Math.PI);
  // Rounding can leave it a hair outside at either end.
  return turned >= Math.PI ? 0 : Math.max(0, turned);
}

/** Shortest turn from axis `fromRad` to axis `toRad`, in [-pi/2, pi/2); counterclockwise is positive. */
export function axialDifference(toRad: number, fromRad: number): number {
  const turned = axis(toRad - fromRad);
  return turned < Math.PI / 2 ? turned : turned - Math.PI;
}
