// Best split of a series into stretches of constant mean, offline: PELT (Killick, Fearnhead and Eckley, Journal of the
// American Statistical Association 107, 2012) with the cost of normal noise of known deviation,
// sum of (x - mean)^2 / sigma^2 per stretch, and a penalty per change. Usual penalties: 2 ln n (as BIC), 3 ln n.

/** Indices at which a new stretch begins, rising; no missing values. */
export function pelt(values: ArrayLike<number>, sigma: number, penalty: number): number[] {
  const n = values.length;
  const sum = new Float64Array(n + 1);
  const squares = new Float64Array(n + 1);
  for (let i = 0; i < n; i++) {
    sum[i + 1] = sum[i]! + values[i]!;
    squares[i + 1] = squares[i]! + values[i]! * values[i]!;
  }
  const perVariance = 1 / (sigma * sigma);
  const cost = (from: number, to: number): number => {
    const total = sum[to]! - sum[from]!;
    return (squares[to]! - squares[from]! - (total * total) / (to - from)) * perVariance;
  };
  const best = new Float64Array(n + 1);
  best[0] = -penalty;
  const last = new Int32Array(n + 1);
  let candidates = [0];
  for (let to = 1; to <= n; to++) {
    let [lowest, at] = [Infinity, 0];
    const totals = candidates.map((from) => best[from]! + cost(from, to));
    totals.forEach((total, i) => {
      if (total + penalty < lowest) [lowest, at] = [total + penalty, candidates[i]!];
    });
    best[to] = lowest;
    last[to] = at;
    // A start that cannot win now never will: the cost is never raised by a further split.
    candidates = candidates.filter((_, i) => totals[i]! <= lowest);
    candidates.push(to);
  }
  const changes: number[] = [];
  for (let to = last[n]!; to > 0; to = last[to]!) changes.unshift(to);
  return changes;
}

/** Deviation of white noise from the median size of steps, which changes hardly touch. */
export function stepSigma(values: ArrayLike<number>): number {
  const steps: number[] = [];
  for (let i = 1; i < values.length; i++) steps.push(values[i]! - values[i - 1]!);
  const middle = medianOf(steps);
  return (1.482602 * medianOf(steps.map((step) => Math.abs(step - middle)))) / Math.SQRT2;
}

function medianOf(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
}
