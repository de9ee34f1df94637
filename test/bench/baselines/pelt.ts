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
  // Counting penalties in variances keeps the inner loop to one division.
  const beta = penalty * sigma * sigma;
  const cost = (from: number, to: number): number => {
    const total = sum[to]! - sum[from]!;
    return squares[to]! - squares[from]! - (total * total) / (to - from);
  };
  const best = new Float64Array(n + 1);
  best[0] = -beta;
  const last = new Int32Array(n + 1);
  const starts = new Int32Array(n + 1);
  const totals = new Float64Array(n + 1);
  let open = 1;
  for (let to = 1; to <= n; to++) {
    let lowest = Infinity;
    for (let i = 0; i < open; i++) {
      const total = best[starts[i]!]! + cost(starts[i]!, to);
      totals[i] = total;
      if (total >= lowest) continue;
      lowest = total;
      last[to] = starts[i]!;
    }
    best[to] = lowest + beta;
    // A start that cannot win now never will: the cost is never raised by a further split.
    let kept = 0;
    for (let i = 0; i < open; i++) if (totals[i]! <= best[to]!) starts[kept++] = starts[i]!;
    starts[kept++] = to;
    open = kept;
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
