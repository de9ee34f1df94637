// How fast strain builds up from layer to layer: the slope of the layers' means over the last layers, with its error.
// In: values row by row with their layer. Out: per layer the mean, and the slope in units per layer. Least squares;
// the error is that of the slope from the scatter about the line (Draper & Smith, Applied Regression Analysis, ch. 1).

export interface Slope {
  /** Units per layer; NaN for fewer than two layers. */
  readonly slope: number;
  /** Standard error; NaN for fewer than three layers. */
  readonly error: number;
}

export function fittedSlope(x: ArrayLike<number>, y: ArrayLike<number>): Slope {
  const n = x.length;
  let meanX = 0;
  let meanY = 0;
  for (let i = 0; i < n; i++) {
    meanX += x[i]! / n;
    meanY += y[i]! / n;
  }
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (let i = 0; i < n; i++) {
    xx += (x[i]! - meanX) ** 2;
    xy += (x[i]! - meanX) * (y[i]! - meanY);
    yy += (y[i]! - meanY) ** 2;
  }
  if (!(xx > 0)) return { slope: NaN, error: NaN };
  const slope = xy / xx;
  return { slope, error: n > 2 ? Math.sqrt(Math.max(0, yy - slope * xy) / (n - 2) / xx) : NaN };
}

/** What is known of one finished layer. */
export interface LayerRow {
  readonly layer: number;
  /** Time of its first row, s. */
  readonly timeS: number;
  readonly rows: number;
  /** Per series: mean of the readings present, NaN where there were none. */
  readonly means: readonly number[];
  readonly slopes: readonly Slope[];
}

/** Layers over which the slope is fitted: enough to average a layer's scatter, few enough to follow the build. */
export const slopeLayers = 20;

/** Collects values of several series layer by layer; bounded memory. */
export class LayerMeans {
  readonly #sums: Float64Array;
  readonly #counts: Float64Array;
  /** The last layers' numbers and means, oldest first. */
  readonly #recent: { readonly layer: number; readonly means: readonly number[] }[] = [];
  #layer = NaN;
  #timeS = NaN;
  #rows = 0;

  constructor(series: number) {
    this.#sums = new Float64Array(series);
    this.#counts = new Float64Array(series);
  }

  /** One row of values, one per series; answers with the layer before when this row begins another. */
  push(layer: number, timeS: number, values: readonly Float64Array[], row: number): LayerRow | undefined {
    if (Number.isNaN(layer)) return undefined;
    const done = layer === this.#layer ? undefined : this.finish();
    if (this.#rows === 0) {
      this.#layer = layer;
      this.#timeS = timeS;
    }
    this.#rows++;
    for (let s = 0; s < values.length; s++) {
      const value = values[s]![row]!;
      if (Number.isNaN(value)) continue;
      this.#sums[s]! += value;
      this.#counts[s]! += 1;
    }
    return done;
  }

  /** The layer at hand as it stands; the next row begins a new one. */
  finish(): LayerRow | undefined {
    if (this.#rows === 0) return undefined;
    const means = Array.from(this.#sums, (sum, s) => (this.#counts[s]! > 0 ? sum / this.#counts[s]! : NaN));
    this.#recent.push({ layer: this.#layer, means });
    if (this.#recent.length > slopeLayers) this.#recent.shift();
    const slopes = means.map((_, s) => this.#slope(s));
    const done = { layer: this.#layer, timeS: this.#timeS, rows: this.#rows, means, slopes };
    this.#sums.fill(0);
    this.#counts.fill(0);
    this.#rows = 0;
    this.#layer = NaN;
    return done;
  }

  #slope(series: number): Slope {
    const known = this.#recent.filter(({ means }) => !Number.isNaN(means[series]));
    return fittedSlope(
      known.map(({ layer }) => layer),
      known.map(({ means }) => means[series]!),
    );
  }
}
