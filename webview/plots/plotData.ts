// The edge to the plotting library: missing is NaN in ours and null there, and a plot whose values start with NaN would
// lose its scale. Also the range of the value axis, which always holds two different finite numbers.

/** Null for everything that is not a finite number; the array itself where all are, which the library draws faster. */
export function withNulls(values: Float64Array): Float64Array | (number | null)[] {
  if (values.every(Number.isFinite)) return values;
  const out = new Array<number | null>(values.length);
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    out[i] = Number.isFinite(value) ? value : null;
  }
  return out;
}

/** In windows of pixel columns the extremes of value and error do not stand at one point: the widest error holds for all. */
export function columnErrors(errors: Float64Array, columns: number): Float64Array {
  if (columns === 0) return errors;
  const out = new Float64Array(errors.length);
  for (let at = 0; at < errors.length; at += 4) {
    let widest = NaN;
    for (let i = at; i < at + 4; i++) if (!(errors[i]! <= widest) && Number.isFinite(errors[i]!)) widest = errors[i]!;
    out.fill(widest, at, at + 4);
  }
  return out;
}

/** Each value times `factor`; the array itself where that changes nothing. */
export function multiplied(values: Float64Array, factor: number): Float64Array {
  return factor === 1 ? values : values.map((value) => value * factor);
}

/** The first value that is there, 0 where none is. */
export function firstValue(values: Float64Array): number {
  return values.find((value) => Number.isFinite(value)) ?? 0;
}

/** Value of a line at a time, by the nearest point that lies within `reachS`; NaN where there is none. */
export function valueAt(timeS: ArrayLike<number>, values: ArrayLike<number>, atS: number, reachS: number): number {
  let low = 0;
  let high = timeS.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (timeS[middle]! < atS) low = middle + 1;
    else high = middle;
  }
  let best = NaN;
  let nearest = reachS;
  for (let i = Math.max(0, low - 4); i < Math.min(timeS.length, low + 4); i++) {
    const apart = Math.abs(timeS[i]! - atS);
    if (apart > nearest || Number.isNaN(values[i]!)) continue;
    nearest = apart;
    best = values[i]!;
  }
  return best;
}
