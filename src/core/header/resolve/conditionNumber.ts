// How well a set of fibre directions determines the in-plane strain tensor: the 2-norm condition number of the design
// matrix with rows [cos², sin², sin cos] for (ex, ey, gxy).
// Eigenvalues of the symmetric 3 by 3 normal matrix in closed form (Smith 1961, Comm. ACM 4:168); squaring the matrix
// limits it to condition numbers up to about 1e6, far beyond what is usable.

/** Number of directions that differ by more than 0.01 degree, modulo 180 degrees. Radians in. */
export function distinctDirections(directionsRad: readonly number[]): number {
  const least = (0.01 * Math.PI) / 180;
  const sorted = directionsRad.map((angle) => ((angle % Math.PI) + Math.PI) % Math.PI).sort((a, b) => a - b);
  const groups = sorted.filter((angle, index) => index === 0 || angle - sorted[index - 1]! > least).length;
  const wraps = groups > 1 && sorted[0]! + Math.PI - sorted.at(-1)! <= least;
  return wraps ? groups - 1 : groups;
}

/** At least 1; Infinity where the directions do not determine a tensor. Radians in. */
export function conditionNumber(directionsRad: readonly number[]): number {
  let [xx, xy, xg, yy, yg, gg] = [0, 0, 0, 0, 0, 0];
  for (const angle of directionsRad) {
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    const [x, y, g] = [c * c, s * s, c * s];
    xx += x * x;
    xy += x * y;
    xg += x * g;
    yy += y * y;
    yg += y * g;
    gg += g * g;
  }
  const [least, most] = extremeEigenvalues(xx, yy, gg, xy, xg, yg);
  return least <= most * 1e-12 ? Infinity : Math.sqrt(most / least);
}

/** Least and greatest eigenvalue of the symmetric matrix with diagonal a, b, c and off-diagonal ab, ac, bc. */
function extremeEigenvalues(a: number, b: number, c: number, ab: number, ac: number, bc: number): [number, number] {
  const mean = (a + b + c) / 3;
  const [u, v, w] = [a - mean, b - mean, c - mean];
  const p = Math.sqrt((u * u + v * v + w * w + 2 * (ab * ab + ac * ac + bc * bc)) / 6);
  if (p === 0) return [mean, mean];
  const determinant = u * (v * w - bc * bc) - ab * (ab * w - bc * ac) + ac * (ab * bc - v * ac);
  const angle = Math.acos(Math.min(1, Math.max(-1, determinant / (2 * p ** 3)))) / 3;
  return [mean + 2 * p * Math.cos(angle + (2 * Math.PI) / 3), mean + 2 * p * Math.cos(angle)];
}
