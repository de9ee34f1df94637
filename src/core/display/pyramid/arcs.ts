// Directions without an arrow (a principal direction and the same plus 180 degrees are one): arithmetic on arcs.
// A stretch of directions is an arc [low, high] on the unwrapped line, at most one period wide, so that values on both
// sides of 0 lie side by side and a plot does not jump. Radians or degrees alike: `period` is pi or 180.

/** `value` turned by whole periods so that it lies within half a period of `reference`. */
export function nearestTurn(value: number, reference: number, period: number): number {
  return value - period * Math.round((value - reference) / period);
}

/**
 * Folds `count` pairs of arc ends (in order of occurrence, NaN where empty) into one pair. Each arc is turned to lie
 * nearest to what is gathered so far; what would be wider than a period means 'every direction' and is cut to one period.
 */
export function foldIntoArc(
  from: ArrayLike<number>,
  at: number,
  count: number,
  period: number,
  to: Float32Array | Float64Array,
  slot: number,
): void {
  let low = NaN;
  let high = NaN;
  let lowFirst = true;
  for (let i = at; i < at + 2 * count; i += 2) {
    const first = from[i]!;
    const second = from[i + 1]!;
    if (Number.isNaN(first)) continue;
    const middle = (first + second) / 2;
    const shift = Number.isNaN(low) ? 0 : nearestTurn(middle, (low + high) / 2, period) - middle;
    const smaller = Math.min(first, second) + shift;
    const larger = Math.max(first, second) + shift;
    const lower = !(smaller >= low);
    const higher = !(larger <= high);
    if (lower) low = smaller;
    if (higher) high = larger;
    // The extreme that was set last is the second one; set together, they keep their own order.
    if (lower && higher) lowFirst = first <= second;
    else if (lower) lowFirst = false;
    else if (higher) lowFirst = true;
  }
  if (high - low > period) {
    const middle = (low + high) / 2;
    low = middle - period / 2;
    high = middle + period / 2;
  }
  to[slot] = lowFirst ? low : high;
  to[slot + 1] = lowFirst ? high : low;
}
