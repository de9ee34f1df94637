// Tail probabilities of the laws the tests are judged by: chi-square and Fisher's F, given as
// natural logarithms, because the budgets asked for lie far below what a plain probability can hold.
// Method: regularised incomplete gamma and beta functions by series and continued fraction (Lentz), after
// Abramowitz & Stegun 1964, 6.5 and 26.5; log-gamma by Lanczos' approximation.

const lanczos = [
  676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059, 12.507343278686905,
  -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
];

/** Natural logarithm of the gamma function, for x > 0. */
export function logGamma(x: number): number {
  if (x < 0.5) return Math.log(Math.PI / Math.sin(Math.PI * x)) - logGamma(1 - x);
  let sum = 0.99999999999980993;
  for (let i = 0; i < lanczos.length; i++) sum += lanczos[i]! / (x + i);
  const t = x + lanczos.length - 1.5;
  return 0.5 * Math.log(2 * Math.PI) + (x - 0.5) * Math.log(t) - t + Math.log(sum);
}

/** ln P(chi-square with `freedom` degrees > x). 0 for x <= 0. */
export function logChiSquareTail(x: number, freedom: number): number {
  if (!(x > 0)) return 0;
  const a = 0.5 * freedom;
  const h = 0.5 * x;
  const front = a * Math.log(h) - h - logGamma(a);
  if (h < a + 1) return Math.log(Math.max(Number.MIN_VALUE, 1 - Math.exp(front) * gammaSeries(a, h)));
  return front + Math.log(gammaFraction(a, h));
}

function gammaSeries(a: number, x: number): number {
  let term = 1 / a;
  let sum = term;
  for (let n = 1; n < 500 && term > sum * 1e-16; n++) {
    term *= x / (a + n);
    sum += term;
  }
  return sum;
}

function gammaFraction(a: number, x: number): number {
  let b = x + 1 - a;
  let c = 1e300;
  let d = 1 / b;
  let h = d;
  for (let i = 1; i < 500; i++) {
    const an = -i * (i - a);
    b += 2;
    d = 1 / (an * d + b);
    c = b + an / c;
    const change = d * c;
    h *= change;
    if (Math.abs(change - 1) < 1e-15) break;
  }
  return h;
}

/** ln P(F with `upper` and `lower` degrees > f). 0 for f <= 0. */
export function logFTail(f: number, upper: number, lower: number): number {
  if (!(f > 0)) return 0;
  const x = lower / (lower + upper * f);
  const a = 0.5 * lower;
  const b = 0.5 * upper;
  const front = logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x);
  if (x < (a + 1) / (a + b + 2)) return front - Math.log(a) + Math.log(betaFraction(x, a, b));
  return Math.log(Math.max(Number.MIN_VALUE, 1 - (Math.exp(front) / b) * betaFraction(1 - x, b, a)));
}

function betaFraction(x: number, a: number, b: number): number {
  const tiny = 1e-300;
  let c = 1;
  let d = 1 - ((a + b) * x) / (a + 1);
  d = 1 / (Math.abs(d) < tiny ? tiny : d);
  let h = d;
  for (let m = 1; m < 500; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 + even * d;
    d = 1 / (Math.abs(d) < tiny ? tiny : d);
    c = 1 + even / c;
    if (Math.abs(c) < tiny) c = tiny;
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 + odd * d;
    d = 1 / (Math.abs(d) < tiny ? tiny : d);
    c = 1 + odd / c;
    if (Math.abs(c) < tiny) c = tiny;
    h *= d * c;
    if (Math.abs(d * c - 1) < 1e-15) break;
  }
  return h;
}

/** The F whose tail probability is exp(logProbability), found by bisection. */
export function fPoint(logProbability: number, upper: number, lower: number): number {
  let low = 0;
  let high = 1;
  while (logFTail(high, upper, lower) > logProbability && high < 1e12) high *= 2;
  for (let i = 0; i < 60; i++) {
    const middle = 0.5 * (low + high);
    if (logFTail(middle, upper, lower) > logProbability) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}
