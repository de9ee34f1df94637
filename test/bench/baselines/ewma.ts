// Exponentially weighted moving average chart of one channel (Roberts, Technometrics 1, 1959) and its run length
// (integral equation, Crowder, Technometrics 29, 1987; tables in Lucas and Saccucci, Technometrics 32, 1990).

export interface EwmaOptions {
  readonly target: number;
  readonly sigma: number;
  readonly weight: number;
  /** Width of the limits in standard deviations of the average. */
  readonly width: number;
  /** Limits that widen from the start as the average's variance does; otherwise their final value from the start. */
  readonly exactStart: boolean;
}

export class Ewma {
  average: number;
  limit = 0;
  readonly #options: EwmaOptions;
  #forgotten = 1;

  constructor(options: EwmaOptions) {
    this.#options = options;
    this.average = options.target;
  }

  /** True on a signal. A missing value leaves the average alone. */
  push(value: number): boolean {
    if (Number.isNaN(value)) return false;
    const { target, sigma, weight, width, exactStart } = this.#options;
    this.average += weight * (value - this.average);
    this.#forgotten *= (1 - weight) ** 2;
    const share = exactStart ? 1 - this.#forgotten : 1;
    this.limit = width * sigma * Math.sqrt((weight / (2 - weight)) * share);
    return Math.abs(this.average - target) > this.limit;
  }

  reset(): void {
    this.average = this.#options.target;
    this.#forgotten = 1;
  }
}

/**
 * Mean run length with constant limits, normal noise of deviation 1 shifted by `shift`: Nystrom's method with
 * Gauss-Legendre nodes on Crowder's integral equation.
 */
export function ewmaRunLength(weight: number, width: number, shift: number, nodes = 60): number {
  const limit = width * Math.sqrt(weight / (2 - weight));
  const { places, weights } = gaussLegendre(nodes);
  const density = (z: number): number => Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
  const step = (from: number, to: number): number => density((to - (1 - weight) * from) / weight - shift) / weight;
  // L(z) = 1 + integral of L(y) step(z, y) dy
  const rows = places.map((zi, i) => {
    const row = places.map((zj, j) => (i === j ? 1 : 0) - limit * weights[j]! * step(limit * zi, limit * zj));
    return [...row, 1];
  });
  const lengths = solve(rows);
  return 1 + lengths.reduce((sum, length, j) => sum + limit * weights[j]! * step(0, limit * places[j]!) * length, 0);
}

/** The width of the limits that gives a mean run length without a shift, by bisection. */
export function ewmaWidth(weight: number, runLength: number): number {
  let [low, high] = [0.5, 9];
  while (high - low > 1e-6) {
    const middle = (low + high) / 2;
    const length = ewmaRunLength(weight, middle, 0);
    if (length > 0 && length < runLength) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Nodes and weights on [-1, 1]: Newton's method on the Legendre polynomial (Press et al., Numerical Recipes, 4.5). */
function gaussLegendre(count: number): { places: number[]; weights: number[] } {
  const places = new Array<number>(count);
  const weights = new Array<number>(count);
  for (let i = 0; i < count; i++) {
    let z = Math.cos((Math.PI * (i + 0.75)) / (count + 0.5));
    let slope = 1;
    for (let pass = 0; pass < 100; pass++) {
      let [p, before] = [1, 0];
      for (let n = 0; n < count; n++) [p, before] = [((2 * n + 1) * z * p - n * before) / (n + 1), p];
      slope = (count * (z * p - before)) / (z * z - 1);
      const step = p / slope;
      z -= step;
      if (Math.abs(step) < 1e-15) break;
    }
    places[i] = z;
    weights[i] = 2 / ((1 - z * z) * slope * slope);
  }
  return { places, weights };
}

/** Gauss elimination with row exchange; each row ends with its right side. */
function solve(rows: number[][]): number[] {
  const n = rows.length;
  for (let i = 0; i < n; i++) {
    let best = i;
    for (let r = i + 1; r < n; r++) if (Math.abs(rows[r]![i]!) > Math.abs(rows[best]![i]!)) best = r;
    [rows[i], rows[best]] = [rows[best]!, rows[i]!];
    for (let r = i + 1; r < n; r++) {
      const factor = rows[r]![i]! / rows[i]![i]!;
      for (let c = i; c <= n; c++) rows[r]![c]! -= factor * rows[i]![c]!;
    }
  }
  const x = new Array<number>(n).fill(0);
  for (let i = n - 1; i >= 0; i--) {
    let sum = rows[i]![n]!;
    for (let c = i + 1; c < n; c++) sum -= rows[i]![c]! * x[c]!;
    x[i] = sum / rows[i]![i]!;
  }
  return x;
}
