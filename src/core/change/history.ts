// The last samples of one cell, cycle taken off, in rings: as they came (`raw`), and as running sums of the same values
// held to a band about the level of the samples just before (`sums`), so that the mean of any block is one subtraction.
// The band makes one wild sample count like a large one (Huber 1964). A restart forgets all before a given sample.
// Component 0 is the temperature (kelvin) where the cell has one; the others are its strain channels (dimensionless).

/** Samples kept: the longest block (64) and the block before it (128) fit. */
export const ringSize = 256;
const mask = ringSize - 1;
export interface HistoryState {
  readonly dimension: number;
  /** Samples since the restart. */
  count: number;
  /** Running level of the cycle-free signal, per component. */
  readonly level: Float64Array;
  readonly raw: Float64Array;
  readonly sums: Float64Array;
  /** Running sums of what the cycle took off. */
  readonly takenSums: Float64Array;
  readonly row: Float64Array;
  readonly line: Float64Array;
  readonly timeS: Float64Array;
  readonly layer: Float64Array;
  readonly phase: Float64Array;
}

export function newHistory(dimension: number): HistoryState {
  const ring = (): Float64Array => new Float64Array(ringSize);
  return {
    dimension,
    count: 0,
    level: new Float64Array(dimension),
    raw: new Float64Array(ringSize * dimension),
    sums: new Float64Array(ringSize * dimension),
    takenSums: new Float64Array(ringSize * dimension),
    row: ring(),
    line: ring(),
    timeS: ring(),
    layer: ring(),
    phase: ring(),
  };
}

export function slot(sample: number): number {
  return sample & mask;
}

/** When what a finding tells became known: with the sample taken last. */
export function knownNow({ row, timeS, count }: HistoryState): { knownRow: number; knownTimeS: number } {
  const now = slot(count);
  return { knownRow: row[now]!, knownTimeS: timeS[now]! };
}

/** Samples since the restart up to a row of the log, so far as the ring goes back. */
export function samplesUntil({ row, count }: HistoryState, last: number): number {
  let n = count;
  while (n > 0 && count - n < ringSize && row[slot(n)]! > last) n--;
  return n;
}

/** Forgets all samples before `sample` (counted since the last restart); the rest is taken as it came. */
export function restartAt(history: HistoryState, sample: number): void {
  const { dimension, raw, sums, takenSums, row, line, timeS, layer, phase } = history;
  const kept = Math.max(0, Math.min(history.count - sample + 1, ringSize - 1));
  const first = history.count - kept + 1;
  const begun = (first - 1) & mask;
  const copyRaw = new Float64Array((kept + 1) * dimension);
  const copyTaken = new Float64Array((kept + 1) * dimension);
  const rings = [row, line, timeS, layer, phase];
  const copies = rings.map(() => new Float64Array(kept + 1));
  for (let i = 0; i < kept; i++) {
    const from = (first + i) & mask;
    for (let j = 0; j < dimension; j++) {
      copyRaw[(i + 1) * dimension + j] = raw[from * dimension + j]!;
      copyTaken[(i + 1) * dimension + j] = takenSums[from * dimension + j]! - takenSums[begun * dimension + j]!;
    }
    rings.forEach((ring, k) => (copies[k]![i + 1] = ring[from]!));
  }
  // Nothing is left of what a span that was cut short had written ahead.
  for (const array of [raw, sums, takenSums, ...rings]) array.fill(0);
  // Levels start anew near zero, so that running sums never grow large.
  const origin = Float64Array.from({ length: dimension }, (_, j) =>
    kept > 0 ? copyRaw[dimension + j]! : history.level[j]!,
  );
  for (let i = 1; i <= kept; i++) {
    for (let j = 0; j < dimension; j++) {
      const value = copyRaw[i * dimension + j]! - origin[j]!;
      raw[i * dimension + j] = value;
      sums[i * dimension + j] = sums[(i - 1) * dimension + j]! + value;
      takenSums[i * dimension + j] = copyTaken[i * dimension + j]!;
    }
    rings.forEach((ring, k) => (ring[i] = copies[k]![i]!));
  }
  for (let j = 0; j < dimension; j++) history.level[j]! -= origin[j]!;
  history.count = kept;
}

/** Mean of component j over the samples from + 1 ... to (counts since the restart). */
export function blockMean(history: HistoryState, from: number, to: number, j: number): number {
  const { dimension, sums } = history;
  return (sums[(to & mask) * dimension + j]! - sums[(from & mask) * dimension + j]!) / (to - from);
}
