// A span: a few rows of one cell in which nothing turns, so that they can be walked component by component instead of row
// by row; and what is worked out for each of its rows. One scratch a detector, reused: nothing in it outlives the span.
import { mostPlaces } from '../cycle/cyclePlaces.ts';
import type { Places } from '../cycle/cyclePlaces.ts';

/** Rows of a span at most. The ring of samples must hold them beyond what the block tests look back on. */
export const longestSpan = 32;

export interface Span extends Places {
  readonly intervalS: Float64Array;
  /** Share of a squared distance by which the noise of one sample is learned at each row; 0 where it is not. */
  readonly noiseGain: Float64Array;
  /** Per row, the distance in samples at which the noise at rest is looked at, 0 to 3 for one to four, and how fast it is learned. */
  readonly lag: Uint8Array;
  readonly calmGain: Float64Array;
  /** Per row and component, row by row, what the sample is (`wildness` in `chatter.ts`); and rows where one is not as usual. */
  readonly wild: Uint8Array;
  readonly wildRows: Uint8Array;
  /** Sum of the squared distances of all strain channels from their levels, in noises. */
  readonly stir: Float64Array;
  /** The component at hand with the cycle off, per row; NaN where missing. */
  readonly rest: Float64Array;
  /** Component 0 with the cycle off, per row. */
  readonly kelvin: Float64Array;
  /** Distance of each component from the level just before, in noises, row by row. */
  readonly excess: Float64Array;
  /** What each component's running values will be after the span, `fields` of them each. */
  readonly after: Float64Array;
  /** The cycle's places of the span as they were before it. */
  readonly shapeBefore: Float64Array;
}

/** Running values of one component, as they lie in `Span.after`. */
export const field = {
  value: 0,
  flat: 1,
  noise: 2,
  level: 3,
  cycleLevel: 4,
  slope: 5,
  cycleNoise: 6,
  taken: 7,
  calm: 8,
  calmLevel: 9,
  off: 10,
  recent: 11,
} as const;
export const fields = 15;

export function newSpan(dimension: number): Span {
  const perRow = (): Float64Array => new Float64Array(longestSpan);
  return {
    place: new Int32Array(longestSpan),
    between: perRow(),
    samplesPerPlace: perRow(),
    turn: perRow(),
    visits: perRow(),
    gain: perRow(),
    intervalS: perRow(),
    noiseGain: perRow(),
    lag: new Uint8Array(longestSpan),
    calmGain: perRow(),
    wild: new Uint8Array(longestSpan * dimension),
    wildRows: new Uint8Array(longestSpan),
    stir: perRow(),
    rest: perRow(),
    kelvin: perRow(),
    excess: new Float64Array(longestSpan * dimension),
    after: new Float64Array(fields * dimension),
    shapeBefore: new Float64Array((mostPlaces + 1) * dimension),
  };
}
