// Is a change the cycle of the layer, come early or late? Then the cell is where its cycle is at another place of the layer:
// what the cycle took off and the change together are what it takes off there. A break puts it where its cycle never is: of
// three fibres by chance one direction in 15 lies as near to a given one as half of a change, and the size must fit, too.
// Squared distances in noises of the change.
import type { CycleState } from '../cycle/cycle.ts';
import { slot } from '../history.ts';
import type { HistoryState } from '../history.ts';

export interface CycleMatch {
  /** Share of the squared change that is left of it at the place that explains it best, less chance; NaN for no cycle. */
  readonly left: number;
  /** The farthest that the cycle leads from where the cell should be, as a share of the change; NaN for no cycle. */
  readonly reach: number;
}

export const noMatch: CycleMatch = { left: NaN, reach: NaN };

/** A change of some of a cell's components, and its inverse covariance, row by row. */
export interface Weighed {
  readonly components: readonly number[];
  readonly change: readonly number[];
  readonly precision: readonly number[];
}

/** Layers in which a place was seen from which on its cycle is believed. */
const leastVisits = 3;

/** `split`: the last sample before the change, in a history of which a sample has `rows` rows. */
export function matchCycle(
  cycle: CycleState,
  history: HistoryState,
  split: number,
  rows: number,
  { components, change, precision }: Weighed,
): CycleMatch {
  const { capacity, dimension, shape, visits, phases } = cycle;
  const m = components.length;
  const samples = history.count - split;
  const total = squared(change, precision);
  if (!(total > 0)) return noMatch;
  const taken = components.map((j) => meanTaken(history, split, j));
  const window = Math.min(capacity, Math.max(1, Math.round((samples * rows) / cycle.samplesPerPlace)));
  const sum = new Float64Array(m);
  const away = new Float64Array(m);
  const rest = new Float64Array(m);
  let least = Infinity;
  let most = -1;
  for (let phase = 0; phase < phases; phase++) {
    sum.fill(0);
    let seen = 0;
    for (let k = 0; k < capacity; k++) {
      const place = phase * capacity + k;
      // Sums begin anew behind a place that is not known.
      if (visits[place]! < leastVisits) {
        seen = 0;
        sum.fill(0);
        continue;
      }
      const gone = seen === window ? (place - window) * dimension : -1;
      if (seen < window) seen++;
      components.forEach((j, i) => {
        sum[i]! += shape[place * dimension + j]! - (gone < 0 ? 0 : shape[gone + j]!);
        away[i] = sum[i]! / window - taken[i]!;
        rest[i] = change[i]! - away[i]!;
      });
      if (seen < window) continue;
      least = Math.min(least, squared(rest, precision));
      most = Math.max(most, squared(away, precision));
    }
  }
  if (most < 0) return noMatch;
  // One unknown was fitted: where in the layer the cell is.
  return { left: Math.max(0, least - (m - 1)) / total, reach: Math.sqrt(most / total) };
}

/** What the cycle took off the samples after the split, as a rule. */
function meanTaken({ takenSums, dimension, count }: HistoryState, split: number, j: number): number {
  return (takenSums[slot(count) * dimension + j]! - takenSums[slot(split) * dimension + j]!) / (count - split);
}

function squared(vector: ArrayLike<number>, precision: readonly number[]): number {
  const m = vector.length;
  let sum = 0;
  for (let i = 0; i < m; i++) {
    let pulled = 0;
    for (let k = 0; k < m; k++) pulled += precision[i * m + k]! * vector[k]!;
    sum += pulled * vector[i]!;
  }
  return sum;
}
