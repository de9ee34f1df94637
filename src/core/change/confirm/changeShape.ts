// The shape of a change of the in-plane tensor (ex, ey, gxy engineering shear): how large, how equal in all directions;
// and the size of one change of a cell's channels against another.

/** Size of `change` over that of `whole`, by the channels that both have; 1 where `whole` is nothing. */
export function sizeShare(change: readonly number[], whole: readonly number[]): number {
  let own = 0;
  let all = 0;
  whole.forEach((d, c) => {
    const part = change[c]!;
    if (Number.isNaN(d) || Number.isNaN(part)) return;
    own += part * part;
    all += d * d;
  });
  return all > 0 ? Math.sqrt(own / all) : 1;
}

type Tensor = readonly [number, number, number];

/** Largest |strain| along any direction. */
export function largestPrincipal([ex, ey, gxy]: Tensor): number {
  return Math.abs(ex + ey) / 2 + Math.hypot(ex - ey, gxy) / 2;
}

/** Smaller over larger principal value, by size, with the sign of their product; NaN for no change. */
export function principalRatio([ex, ey, gxy]: Tensor): number {
  const mean = Math.abs(ex + ey) / 2;
  const radius = Math.hypot(ex - ey, gxy) / 2;
  return (mean - radius) / (mean + radius);
}

/** Share that is the same in all directions: 1 for equal principals, 0 for pure shear; NaN for no change. */
export function isotropyOf([ex, ey, gxy]: Tensor): number {
  const mean = Math.abs(ex + ey) / 2;
  return mean / (mean + Math.hypot(ex - ey, gxy) / 2);
}

/** Share of several changes that is one expansion: their mean strains, summed with signs, over their sizes. NaN for none. */
export function expansionOf(changes: readonly Tensor[]): number {
  const size = changes.reduce((sum, change) => sum + largestPrincipal(change), 0);
  return Math.abs(changes.reduce((sum, [ex, ey]) => sum + (ex + ey) / 2, 0)) / size;
}

/** Mahalanobis distance with covariance xx, yy, ss, xy, xs, ys; NaN where that is unknown or singular. */
export function mahalanobis3(
  change: Tensor,
  covariance: readonly [number, number, number, number, number, number],
): number {
  const [a, d, f, b, c, e] = covariance;
  const A = d * f - e * e;
  const B = c * e - b * f;
  const C = b * e - c * d;
  const det = a * A + b * B + c * C;
  const [x, y, z] = change;
  const q =
    (A * x * x +
      (a * f - c * c) * y * y +
      (a * d - b * b) * z * z +
      2 * (B * x * y + C * x * z + (b * c - a * e) * y * z)) /
    det;
  return q >= 0 ? Math.sqrt(q) : NaN;
}
