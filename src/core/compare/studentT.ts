// Student's t distribution: the two-sided quantile that a prediction interval needs.
// The distribution function through the regularised incomplete beta function (Abramowitz & Stegun 1964, 26.7.1), that
// by its continued fraction (26.5.8) with Lentz's method (Lentz 1976), and the quantile by halving.

/**
 * The t that |T| stays below with probability `coverage` (0 to 1) at `degrees` of freedom (> 0).
 * @throws RangeError outside these.
 */
export function twoSidedT(coverage: number, degrees: number): number {
  if (!(coverage > 0 && coverage < 1) || !(degrees > 0)) {
    throw new RangeError(`expected a coverage between 0 and 1 and degrees above 0, got ${coverage} and ${degrees}`);
  }
  let low = 0;
  let high = 1;
  while (centralProbability(high, degrees) < coverage) high *= 2;
  for (let step = 0; step < 200 && high - low > 1e-12 * high; step++) {
    const middle = (low + high) / 2;
    if (centralProbability(middle, degrees) < coverage) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** P(|T| <= t). */
function centralProbability(t: number, degrees: number): number {
  return 1 - incompleteBeta(degrees / (degrees + t * t), degrees / 2, 0.5);
}

function incompleteBeta(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log(1 - x));
  // The fraction converges fast on one side of the mean; on the other the symmetry is used.
  return x < (a + 1) / (a + b + 2) ? (front * betaFraction(x, a, b)) / a : 1 - (front * betaFraction(1 - x, b, a)) / b;
}

function betaFraction(x: number, a: number, b: number): number {
  const tiny = 1e-300;
  const kept = (value: number): number => (Math.abs(value) < tiny ? tiny : value);
  let c = 1;
  let d = 1 / kept(1 - ((a + b) * x) / (a + 1));
  let h = d;
  for (let m = 1; m <= 500; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / kept(1 + even * d);
    c = kept(1 + even / c);
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / kept(1 + odd * d);
    c = kept(1 + odd / c);
    const factor = d * c;
    h *= factor;
    if (Math.abs(factor - 1) < 1e-15) break;
  }
  return h;
}

/** Stirling's series (Abramowitz & Stegun 6.1.41) after shifting the argument above 10. */
function logGamma(x: number): number {
  let shift = 0;
  let z = x;
  while (z < 10) {
    shift -= Math.log(z);
    z += 1;
  }
  const w = 1 / (z * z);
  const series = (1 / 12 - w * (1 / 360 - w * (1 / 1260 - w * (1 / 1680 - w / 1188)))) / z;
  return shift + (z - 0.5) * Math.log(z) - z + 0.5 * Math.log(2 * Math.PI) + series;
}
