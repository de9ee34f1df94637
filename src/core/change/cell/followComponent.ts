// One component of a cell over a span of rows: the cycle of the layer is taken off and learned; what is left is one more
// sample of the history, as it came and held to a band about the level of the samples just before; and the noise of one
// sample is learned from its distance from that level. All running values stay in local variables while the rows go by:
// this loop sees every reading of a log, so it is one long function, and flat.
// The level that the cycle is learned about is followed by exponential smoothing with a slope (Holt 1957) over about one
// layer; distances beyond some noises count as those only (Huber 1964).
import type { ChatterState } from './chatter.ts';
import type { CycleState } from '../cycle/cycle.ts';
import { learningLayers } from '../cycle/cycleMemory.ts';
import { slot } from '../history.ts';
import type { HistoryState } from '../history.ts';
import { field, fields } from './span.ts';
import type { Span } from './span.ts';

/** What is followed of all components of a cell; each array by component. */
export interface Followed {
  readonly cycle: CycleState;
  readonly history: HistoryState;
  readonly value: Float64Array;
  readonly flat: Float64Array;
  readonly noise: Float64Array;
  readonly chatter: ChatterState;
}

/**
 * Walks `rows` rows of component `j`, before which the history had `count` samples. `values` from `from` on are its values;
 * NaN where missing, which counts as no step. `placed`: the rows have a place in the layer. `leastNoise`: by component, the
 * least noise of one sample. Writes the rings of the history and the cycle's places at once, all other running values to
 * `span.after`: a span may have to be cut short.
 */
export function followComponent(
  followed: Followed,
  j: number,
  count: number,
  values: Float64Array,
  from: number,
  rows: number,
  placed: boolean,
  leastNoise: Float64Array,
  span: Span,
): void {
  takeOffCycle(followed, j, count, values, from, rows, placed, span);
  appendSamples(followed, j, count, rows, leastNoise, span);
  const { after, rest } = span;
  const to = j * fields + field.value;
  after[to] = followed.value[j]!;
  for (let i = 0; i < rows; i++) if (rest[i] === rest[i]) after[to] = values[from + i]!;
  if (j === 0) span.kelvin.set(rest);
}

/**
 * Takes the cycle of the layer off, into `span.rest`, and learns it; nothing where the rows have no place. Spikes of a channel
 * that is sick with them are taken for missing readings here, so that nobody learns from them.
 */
function takeOffCycle(
  { cycle, history, chatter }: Followed,
  j: number,
  count: number,
  values: Float64Array,
  from: number,
  rows: number,
  placed: boolean,
  { place, between, visits, gain, turn, samplesPerPlace, rest, after, lag, calmGain, wild, wildRows }: Span,
): void {
  // Numbers of the method stand here, not in front, so that the compiled loop holds them as numbers.
  /** Distances from the cycle's level beyond so many noises count as this far only (Huber 1964; 3 to 4 is usual). */
  const clip = 4;
  /** The same for the square of what is learned of noise: normal noise then loses 2 % of its variance. */
  const noiseClip = 3;
  /** Keeps constant data from a noise of nothing; far below any reading. */
  const leastNoise = 1e-12;
  /** A quarter of the differences between two samples of normal noise is less than this many noises: 0.3186 root two. */
  const quartile = 0.4506;
  /** Wild is what lies so many noises at rest off, the size of spikes that are always told. */
  const wildNoises = 25;
  /** What lies so many off stirs: what its fellows do beside it is not theirs alone. */
  const stirNoises = 8;
  /** What stays away for longer than a spike is a new level. */
  const longestSpike = 2;
  /** The level about which samples are wild follows the others over so many. */
  const levelShare = 1 / 4;
  const { dimension, shape } = cycle;
  const { takenSums } = history;
  const settled = cycle.layers > learningLayers;
  const follow = 1 / cycle.usualSamples;
  const followSlope = 0.25 * follow * follow;
  const noiseGain = 0.5 * follow;
  const noiseKept = 1 - noiseGain;
  const noiseRaised = noiseKept + noiseGain * noiseClip * noiseClip;
  let level = cycle.level[j]!;
  let slope = cycle.slope[j]!;
  let noise = cycle.noise[j]!;
  let taken = cycle.taken[j]!;
  let sum = takenSums[slot(count) * dimension + j]!;
  const sick = chatter.sick[j]! > 0;
  const longest = sick ? chatter.sick[j]! : longestSpike;
  let calm = chatter.calm[j]!;
  let calmLevel = chatter.level[j]!;
  let off = chatter.off[j]!;
  let ago1 = chatter.recent[4 * j]!;
  let ago2 = chatter.recent[4 * j + 1]!;
  let ago3 = chatter.recent[4 * j + 2]!;
  let ago4 = chatter.recent[4 * j + 3]!;
  for (let i = 0; i < rows; i++) {
    const x = values[from + i]!;
    const seen = i * dimension + j;
    wild[seen] = 0;
    if (x !== x) {
      rest[i] = x;
      if (placed) sum += taken;
      takenSums[slot(count + i + 1) * dimension + j] = sum;
      continue;
    }
    const at = placed ? place[i]! * dimension + j : 0;
    const here = placed ? shape[at]! : 0;
    const share = between[i]!;
    const known = visits[i]!;
    const before = taken;
    if (placed) {
      if (known > 2) taken = share > 0 ? here + share * (shape[at + dimension]! - here) : here;
      else if (!settled) taken = 0;
    }
    const reach = wildNoises * calm;
    if (sick && placed && Math.abs(x - taken - calmLevel) > reach && Math.abs(x - before - calmLevel) <= reach) {
      // A spike of the first layers was taken for a part of the cycle: the reading goes on from the one before.
      shape[at] = before;
      taken = before;
    }
    if (placed) sum += taken;
    takenSums[slot(count + i + 1) * dimension + j] = sum;
    const left = placed ? x - taken : x;
    const aside = left - calmLevel;
    // No two layers are alike, but none is off by as much as the cycle itself.
    const beyond = placed ? reach + Math.abs(taken) : reach;
    if (aside > beyond || aside < -beyond) {
      const moved = ++off > longest;
      wild[seen] = moved ? 2 : 1;
      wildRows[i] = 1;
      if (moved) {
        calmLevel = left;
        off = 0;
      }
    } else {
      const stir = stirNoises * calm;
      if (aside > stir || aside < -stir) {
        wild[seen] = 3;
        wildRows[i] = 1;
      }
      calmLevel = aside === aside ? calmLevel + levelShare * aside : left;
      off = 0;
    }
    if (calmGain[i]! > 0) {
      const which = lag[i]!;
      const difference = x - (which > 1 ? (which > 2 ? ago4 : ago3) : which > 0 ? ago2 : ago1);
      // Equal readings tell of their resolution only.
      if (difference < 0 || difference > 0) {
        const bar = quartile * calm;
        calm *= 1 + calmGain[i]! * (difference < bar && difference > -bar ? -0.75 : 0.25);
        if (calm < leastNoise) calm = leastNoise;
      }
    }
    ago4 = ago3;
    ago3 = ago2;
    ago2 = ago1;
    ago1 = x;
    if (sick && wild[seen] === 1) {
      rest[i] = NaN;
      continue;
    }
    rest[i] = left;
    if (!placed) continue;
    if (level !== level) level = x;
    const away = left - level;
    const limit = clip * noise;
    const held = away > limit ? limit : away < -limit ? -limit : away;
    if (known > 2) {
      const learned = gain[i]!;
      shape[at] = here + learned * (1 - share) * held;
      if (share > 0) shape[at + dimension]! += learned * share * held;
    } else if (known === 1) {
      // The mean over its samples. A place of which nothing is known yet may have lost its first ones.
      shape[at] = here === 0 ? away + taken : here + (away + taken - here) / turn[i]!;
    } else {
      // One layer cannot tell a cycle from an event; two agree only on what both did: the smaller of equal sign.
      const again = away + taken;
      const agreed = again * here <= 0 ? 0 : Math.abs(again) < Math.abs(here) ? again : here;
      shape[at] = here + (agreed - here) / samplesPerPlace[i]!;
    }
    level += slope + follow * held;
    slope += followSlope * held;
    const far = noiseClip * noise;
    noise = away < far && away > -far ? noiseKept * noise + (noiseGain * (away * away)) / noise : noiseRaised * noise;
    if (noise < leastNoise) noise = leastNoise;
  }
  const to = j * fields;
  after[to + field.cycleLevel] = level;
  after[to + field.slope] = slope;
  after[to + field.cycleNoise] = noise;
  after[to + field.taken] = taken;
  after[to + field.calm] = calm;
  after[to + field.calmLevel] = calmLevel;
  after[to + field.off] = off;
  after[to + field.recent] = ago1;
  after[to + field.recent + 1] = ago2;
  after[to + field.recent + 2] = ago3;
  after[to + field.recent + 3] = ago4;
}

/** Appends what was left of the cycle, `span.rest`, to the history. */
function appendSamples(
  { history, flat, noise }: Followed,
  j: number,
  count: number,
  rows: number,
  leastNoise: Float64Array,
  { noiseGain, excess, rest, after }: Span,
): void {
  /** Samples of the level about which the band lies, and its half width in noises: a jump of five passes unchanged. */
  const levelSamples = 8;
  const bandNoises = 6;
  /** A distance counts for no more than this many noises in them; normal noise then loses 2 % of its variance. */
  const noiseClip = 3;
  const { dimension, raw, sums } = history;
  const least = leastNoise[j]!;
  let before = flat[j]!;
  let own = noise[j]!;
  let perNoise = 1 / own;
  let level = history.level[j]!;
  let sum = sums[slot(count) * dimension + j]!;
  for (let i = 0; i < rows; i++) {
    const left = rest[i]!;
    const step = left - before;
    if (left === left) before = left;
    if (step === step) level += step;
    const n = count + i;
    let held = level;
    let away = 0;
    if (n > 2) {
      const window = n < levelSamples ? n : levelSamples;
      const middle = (sum - sums[slot(n - window) * dimension + j]!) / window;
      const limit = bandNoises * own;
      const distance = level - middle;
      away = distance * perNoise;
      if (distance > limit) held = middle + limit;
      else if (distance < -limit) held = middle - limit;
    }
    sum += held;
    const at = slot(n + 1) * dimension + j;
    raw[at] = level;
    sums[at] = sum;
    excess[i * dimension + j] = away;
    const gain = noiseGain[i]!;
    if (gain > 0 && step === step) {
      const square = away < noiseClip && away > -noiseClip ? away * away : noiseClip * noiseClip;
      own *= 1 + gain * (square - 1);
      if (!(own > least)) own = least;
      perNoise = 1 / own;
    }
  }
  const to = j * fields;
  after[to + field.flat] = before;
  after[to + field.noise] = own;
  after[to + field.level] = level;
}

/** The running values that the span has come to. */
export function keepFollowed({ cycle, history, value, flat, noise, chatter }: Followed, { after }: Span): void {
  for (let j = 0, at = 0; j < value.length; j++, at += fields) {
    value[j] = after[at + field.value]!;
    flat[j] = after[at + field.flat]!;
    noise[j] = after[at + field.noise]!;
    history.level[j] = after[at + field.level]!;
    cycle.level[j] = after[at + field.cycleLevel]!;
    cycle.slope[j] = after[at + field.slope]!;
    cycle.noise[j] = after[at + field.cycleNoise]!;
    cycle.taken[j] = after[at + field.taken]!;
    chatter.calm[j] = after[at + field.calm]!;
    chatter.level[j] = after[at + field.calmLevel]!;
    chatter.off[j] = after[at + field.off]!;
    for (let k = 0; k < 4; k++) chatter.recent[4 * j + k] = after[at + field.recent + k]!;
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
