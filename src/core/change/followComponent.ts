// One component of a cell over a span of rows: the cycle of the layer is taken off and learned; what is left is one more
// sample of the history, as it came and held to a band about the level of the samples just before; and the noise of one
// sample is learned from its distance from that level. All running values stay in local variables while the rows go by:
// this loop sees every reading of a log, so it is one long function, and flat.
// The level that the cycle is learned about is followed by exponential smoothing with a slope (Holt 1957) over about one
// layer; distances beyond some noises count as those only (Huber 1964).
import { learningLayers } from './cycle.ts';
import type { CycleState } from './cycle.ts';
import { slot } from './history.ts';
import type { HistoryState } from './history.ts';
import { field, fields } from './span.ts';
import type { Span } from './span.ts';

/** What is followed of all components of a cell; each array by component. */
export interface Followed {
  readonly cycle: CycleState;
  readonly history: HistoryState;
  readonly value: Float64Array;
  readonly flat: Float64Array;
  readonly noise: Float64Array;
}

/**
 * Walks `rows` rows of component `j`, before which the history had `count` samples. `values` from `from` on are its values; NaN where missing, which counts as no step.
 * `placed`: the rows have a place in the layer. `leastNoise`: the least noise of one sample. Writes the rings of the
 * history and the cycle's places at once, all other running values to `span.after`: a span may have to be cut short.
 */
export function followComponent(
  { cycle, history, value, flat, noise }: Followed,
  j: number,
  count: number,
  values: Float64Array,
  from: number,
  rows: number,
  placed: boolean,
  leastNoise: number,
  span: Span,
): void {
  // Numbers of the method stand here, not in front, so that the compiled loop holds them as numbers.
  /** Distances from the cycle's level beyond so many noises count as this far only (Huber 1964; 3 to 4 is usual). */
  const clip = 4;
  /** The same for the square of what is learned of noise: normal noise then loses 2 % of its variance. */
  const noiseClip = 3;
  /** Keeps constant data from a noise of nothing; far below any reading. */
  const leastCycleNoise = 1e-12;
  /** Samples of the level about which the band of the history lies, and its half width in noises: a jump of five passes. */
  const levelSamples = 8;
  const bandNoises = 6;
  const { place, between, visits, gain, samplesPerPlace, noiseGain, excess, kelvin, after } = span;
  const { dimension, shape } = cycle;
  const { raw, sums } = history;
  const settled = cycle.layers > learningLayers;
  const follow = 1 / cycle.usualSamples;
  const followSlope = 0.25 * follow * follow;
  let x = value[j]!;
  let before = flat[j]!;
  let sampleNoise = noise[j]!;
  let level = history.level[j]!;
  let cycleLevel = cycle.level[j]!;
  let slope = cycle.slope[j]!;
  let cycleNoise = cycle.noise[j]!;
  let taken = cycle.taken[j]!;
  let sum = sums[slot(count) * dimension + j]!;
  for (let i = 0; i < rows; i++) {
    const next = values[from + i]!;
    let step = NaN;
    let rest = NaN;
    if (next === next) {
      x = next;
      rest = next;
      if (placed) {
        if (cycleLevel !== cycleLevel) cycleLevel = x;
        const at = place[i]! * dimension + j;
        const here = shape[at]!;
        const share = between[i]!;
        const known = visits[i]!;
        if (known <= 2) taken = settled ? taken : 0;
        else taken = share > 0 ? here + share * (shape[at + dimension]! - here) : here;
        rest = x - taken;
        const away = rest - cycleLevel;
        const limit = clip * cycleNoise;
        const held = away > limit ? limit : away < -limit ? -limit : away;
        if (known > 2) {
          const learned = gain[i]!;
          shape[at] = here + learned * (1 - share) * held;
          if (share > 0) shape[at + dimension]! += learned * share * held;
        } else if (known === 1) {
          shape[at] = here + (away + taken - here) / samplesPerPlace[i]!;
        } else {
          // One layer cannot tell a cycle from an event; two agree only on what both did: the smaller of equal sign.
          const again = away + taken;
          const agreed = again * here <= 0 ? 0 : Math.abs(again) < Math.abs(here) ? again : here;
          shape[at] = here + (agreed - here) / samplesPerPlace[i]!;
        }
        cycleLevel += slope + follow * held;
        slope += followSlope * held;
        const ratio = away / cycleNoise;
        cycleNoise *=
          1 + 0.5 * follow * ((ratio < noiseClip && ratio > -noiseClip ? ratio * ratio : noiseClip * noiseClip) - 1);
        if (cycleNoise < leastCycleNoise) cycleNoise = leastCycleNoise;
      }
      step = rest - before;
      before = rest;
    }
    if (step === step) level += step;
    const n = count + i;
    const window = n < levelSamples ? n : levelSamples;
    let held = level;
    let away = 0;
    if (window > 2) {
      const middle = (sum - sums[slot(n - window) * dimension + j]!) / window;
      const limit = bandNoises * sampleNoise;
      const distance = level - middle;
      away = distance / sampleNoise;
      if (distance > limit) held = middle + limit;
      else if (distance < -limit) held = middle - limit;
    }
    sum += held;
    const at = slot(n + 1) * dimension + j;
    raw[at] = level;
    sums[at] = sum;
    excess[i * dimension + j] = away;
    if (j === 0) kelvin[i] = rest;
    const learned = noiseGain[i]!;
    if (learned > 0 && step === step) {
      const square = away < noiseClip && away > -noiseClip ? away * away : noiseClip * noiseClip;
      sampleNoise *= 1 + learned * (square - 1);
      if (!(sampleNoise > leastNoise)) sampleNoise = leastNoise;
    }
  }
  const to = j * fields;
  after[to + field.value] = x;
  after[to + field.flat] = before;
  after[to + field.noise] = sampleNoise;
  after[to + field.level] = level;
  after[to + field.cycleLevel] = cycleLevel;
  after[to + field.slope] = slope;
  after[to + field.cycleNoise] = cycleNoise;
  after[to + field.taken] = taken;
}

/** The running values that the span has come to. */
export function keepFollowed({ cycle, history, value, flat, noise }: Followed, { after }: Span): void {
  for (let j = 0, at = 0; j < value.length; j++, at += fields) {
    value[j] = after[at + field.value]!;
    flat[j] = after[at + field.flat]!;
    noise[j] = after[at + field.noise]!;
    history.level[j] = after[at + field.level]!;
    cycle.level[j] = after[at + field.cycleLevel]!;
    cycle.slope[j] = after[at + field.slope]!;
    cycle.noise[j] = after[at + field.cycleNoise]!;
    cycle.taken[j] = after[at + field.taken]!;
  }
}

/** Sets the cycle's places aside, so that a span can be cut short. */
export function rememberPlaces({ shape, dimension }: CycleState, { place, shapeBefore }: Span, rows: number): void {
  const first = place[0]! * dimension;
  const last = Math.min(shape.length, (place[rows - 1]! + 2) * dimension);
  for (let i = first; i < last; i++) shapeBefore[i - first] = shape[i]!;
}

/** Puts the places back that were set aside. */
export function restorePlaces({ shape, dimension }: CycleState, { place, shapeBefore }: Span, rows: number): void {
  const first = place[0]! * dimension;
  const last = Math.min(shape.length, (place[rows - 1]! + 2) * dimension);
  for (let i = first; i < last; i++) shape[i] = shapeBefore[i - first]!;
}
