// The cycle that each layer repeats: for every place in the layer (phase, and time since the phase began) how far the
// signal usually lies from its level just then. Taking that off leaves level, trend, noise and breaks. The level itself is
// followed by exponential smoothing with a slope (Holt 1957) over about one layer, with wild samples held back, and moved
// at once when a break is confirmed, so that a lasting break hardly touches the cycle.
// Without phases the place counts from the start of the layer; without layers there is no cycle and nothing is taken off.
// Units: the components' (strain; kelvin for the temperature).
import { learningLayers } from './cycleMemory.ts';
import { newSection, notePhaseLength, youngUntil } from './section.ts';
import type { SectionState } from './section.ts';

export interface CycleState {
  /** Kinds of phase told apart; 0 where the log has no layers. */
  readonly phases: number;
  readonly dimension: number;
  /** Places per phase for which there is room now. */
  capacity: number;
  /** Width of a place, seconds; 0 until the pace is known. */
  widthS: number;
  /** The same in samples, at least 1. */
  samplesPerPlace: number;
  /** Usual distance from the level per place and component. */
  shape: Float64Array;
  /** Per place, how unusual the short and the long tests usually are there: mean of distance over its expectation. */
  unrest: Float64Array;
  /** Per place, the layer (counted from 1) in which a change was told about there; 0 for none. */
  marked: Float64Array;
  /** Layers that have visited each place, and the last of them. */
  visits: Float64Array;
  lastVisit: Float64Array;
  layer: number;
  phase: number;
  startS: number;
  /** Per kind of phase (of the layer where phases are not told), how long it usually lasts, seconds; NaN until seen. */
  readonly usualS: Float64Array;
  readonly section: SectionState;
  /** Factor (>= 1) by which distances are larger while it is not known when the phase began: rows were lost there. */
  untimed: number;
  /** Counts phases entered. */
  entered: number;
  /** Samples of the layer so far, and usually. */
  samples: number;
  usualSamples: number;
  /** Level and slope per sample, and usual distance from the level once the cycle is off. */
  readonly level: Float64Array;
  readonly slope: Float64Array;
  readonly noise: Float64Array;
  /** What was last taken off. */
  readonly taken: Float64Array;
  layers: number;
  /** Samples of the phase so far, and those beyond which it is no part of a cycle that will come back soon. */
  phaseSamples: number;
  longPhase: number;
  /** Factor (>= 1) by which distances are larger after a layer that lasted too long: the plate is out of its rhythm. */
  disturbed: number;
  /** Where between two places the last sample lay: 0 at its place, towards 1 at the next. */
  between: number;
}

/** Room for places per phase at first, and at most: beyond it places are made twice as wide. */
const firstCapacity = 64;
const largestCapacity = 512;
/** A place not seen before is taken to be a little restless. */
const firstUnrest = 1.5;
/** Samples of a layer before one has gone by, and the bounds within which the level is followed. */
const firstSamples = 64;
const fewestSamples = 8;
const mostSamples = 4096;

export function newCycle(phases: number, dimension: number, noise: Float64Array): CycleState {
  const places = phases * firstCapacity;
  return {
    phases,
    dimension,
    capacity: firstCapacity,
    widthS: 0,
    samplesPerPlace: 1,
    shape: new Float64Array(places * dimension),
    unrest: new Float64Array(places * 2).fill(firstUnrest),
    marked: new Float64Array(places),
    visits: new Float64Array(places),
    lastVisit: new Float64Array(places),
    layer: NaN,
    phase: -1,
    startS: NaN,
    usualS: new Float64Array(phases).fill(NaN),
    section: newSection(phases),
    untimed: 1,
    entered: 0,
    samples: 0,
    usualSamples: firstSamples,
    level: new Float64Array(dimension).fill(NaN),
    slope: new Float64Array(dimension),
    noise: noise.slice(),
    taken: new Float64Array(dimension),
    layers: 0,
    phaseSamples: 0,
    longPhase,
    disturbed: 1,
    between: 0,
  };
}

/** The place of a sample, -1 where there is none. `sinceS`: time since the sample before it, NaN for none. */
export function placeOf(
  cycle: CycleState,
  timeS: number,
  layer: number,
  phase: number,
  intervalS: number,
  sinceS: number,
): number {
  if (cycle.phases === 0 || timeS !== timeS || layer !== layer) return -1;
  const kind = kindOf(cycle, phase);
  cycle.samples++;
  cycle.phaseSamples++;
  if (overdue(cycle) && cycle.layers > learningLayers) cycle.disturbed = stopUnrest;
  if (layer !== cycle.layer || kind !== cycle.phase) enter(cycle, timeS, layer, kind, intervalS, sinceS);
  if (cycle.widthS === 0) {
    if (!(intervalS > 0)) return -1;
    cycle.widthS = intervalS;
    cycle.longPhase = Math.max(longPhase, Math.ceil(longPhaseS / intervalS));
  }
  cycle.samplesPerPlace = intervalS > 0 ? Math.max(1, cycle.widthS / intervalS) : 1;
  const since = (timeS - cycle.startS) / cycle.widthS;
  // A place no wider than a sample holds the nearest sample; a wide one is left gradually for the next.
  let bin = cycle.widthS > 1.5 * intervalS ? Math.floor(since) : Math.floor(since + 0.5);
  cycle.between = cycle.widthS > 1.5 * intervalS ? since - bin : 0;
  while (bin >= cycle.capacity - 1) {
    if (cycle.capacity < largestCapacity) grow(cycle);
    else widen(cycle);
    const now = (timeS - cycle.startS) / cycle.widthS;
    bin = Math.floor(now);
    cycle.between = cycle.widthS > 1.5 * intervalS ? now - bin : 0;
  }
  return bin < 0 ? -1 : kind * cycle.capacity + bin;
}

/** Its index among the kinds of phase that are told apart. */
export function kindOf({ phases }: CycleState, phase: number): number {
  return phases > 1 ? (phase >= 0 && phase < phases - 1 ? phase : phases - 1) : 0;
}

function enter(cycle: CycleState, timeS: number, layer: number, kind: number, intervalS: number, sinceS: number): void {
  const startS = startOf(cycle, timeS, intervalS, sinceS);
  if (layer !== cycle.layer) {
    // The first layer is seen in part only.
    if (cycle.entered > 0) {
      const counted = Math.max(fewestSamples, Math.min(mostSamples, cycle.samples));
      cycle.usualSamples += (counted - cycle.usualSamples) / 4;
    }
    if (!overdue(cycle)) cycle.disturbed = 1 + calming * (cycle.disturbed - 1);
    cycle.section.unfamiliar = 1 + calming * (cycle.section.unfamiliar - 1);
    cycle.samples = 0;
    cycle.layers++;
  }
  cycle.layer = layer;
  cycle.phase = kind;
  cycle.startS = startS;
  cycle.phaseSamples = 0;
  cycle.entered++;
}

/**
 * When the phase began whose first sample is at hand: then, or while rows were lost before it. The phase that it follows is
 * taken to have lasted as long as usual, as far as the gap allows.
 */
function startOf(cycle: CycleState, timeS: number, intervalS: number, sinceS: number): number {
  const { usualS, phase, startS } = cycle;
  const isLost = sinceS > lostIntervals * intervalS;
  cycle.untimed = isLost ? stopUnrest : 1;
  if (phase < 0) return timeS;
  const usual = usualS[phase]!;
  if (isLost) return usual === usual ? Math.max(timeS - sinceS + intervalS, Math.min(timeS, startS + usual)) : timeS;
  const lastedS = timeS - startS;
  notePhaseLength(cycle, phase, lastedS, intervalS);
  return timeS;
}

/** Rows are lost where the interval is so many usual ones. */
const lostIntervals = 1.5;

/** The layer has lasted longer than they usually do: the laser has stopped. */
function overdue(cycle: CycleState): boolean {
  return cycle.samples > overdueFrom(cycle);
}

/** Samples beyond which a layer has lasted longer than they usually do. */
export function overdueFrom({ usualSamples }: CycleState): number {
  return overdueShare * usualSamples + overdueSamples;
}

/** The plate has not yet come back into its rhythm after a layer that lasted too long. */
export function outOfRhythm(cycle: CycleState): boolean {
  return cycle.disturbed > disturbedLimit;
}

/** It has not been learned over its whole memory: what cells see at the same time may be what is not known of it yet. */
export function isYoung({ phases, layers, section }: CycleState): boolean {
  return phases > 0 && layers <= youngUntil(section);
}

const disturbedLimit = 1.5;
const overdueShare = 1.25;
const overdueSamples = 4;
/** Distances after a stop, squared, against the usual ones; the excess falls by this factor a layer. */
const stopUnrest = 6;
const calming = 0.5;

/**
 * The cycle is known: for so many layers that a new place is one beyond the usual end of a phase; or the phase has lasted
 * so long that no cycle will come back soon.
 */
export function known(cycle: CycleState, place: number): boolean {
  return place < 0 || cycle.layers > learningLayers || cycle.phaseSamples > cycle.longPhase;
}

/** The same for the `ago` + 1 rows up to this one: how many of them come before the cycle is known. */
export function rowsUntilKnown(cycle: CycleState, ago: number): number {
  if (cycle.layers > learningLayers) return 0;
  return Math.max(0, Math.min(ago + 1, cycle.longPhase - cycle.phaseSamples + ago + 1));
}

/**
 * Samples that a test may span: while the plate warms up and the first layers shrink, what takes longer than a layer is
 * growth that the trend has not learned yet; and no test looks back on another section of the part.
 */
export function judgedSpan(cycle: CycleState, place: number): number {
  if (place < 0 || cycle.phaseSamples > cycle.longPhase) return Infinity;
  return Math.max(0.5, cycle.layers - Math.max(trendLayers, cycle.section.began)) * cycle.usualSamples;
}

const trendLayers = 24;

/** True at the first sample at which so many layers have gone by that the cycle is known. */
export function justLearned(cycle: CycleState): boolean {
  return cycle.layers === learningLayers + 1 && cycle.samples === 0;
}

/** Samples and seconds of a long phase. */
export const longPhase = 1024;
const longPhaseS = 1200;

/** Moves the levels, e.g. by a confirmed break. */
export function moveLevels(cycle: CycleState, by: readonly number[]): void {
  by.forEach((d, j) => (cycle.level[j]! += d));
}

/** Forgets levels, e.g. after a gap. */
export function forgetLevels(cycle: CycleState): void {
  cycle.level.fill(NaN);
  cycle.slope.fill(0);
}

/** Forgets the places, e.g. after the sampling rate changed: they no longer fit. */
export function forgetPlaces(cycle: CycleState): void {
  cycle.widthS = 0;
  cycle.usualS.fill(NaN);
  cycle.section.strayS.fill(0);
  for (const perPlace of [cycle.visits, cycle.lastVisit, cycle.shape, cycle.marked]) perPlace.fill(0);
  cycle.unrest.fill(firstUnrest);
}

function grow(cycle: CycleState): void {
  const { phases, dimension, capacity } = cycle;
  cycle.shape = spread(cycle.shape, phases, dimension * capacity, 0);
  cycle.unrest = spread(cycle.unrest, phases, 2 * capacity, firstUnrest);
  cycle.visits = spread(cycle.visits, phases, capacity, 0);
  cycle.marked = spread(cycle.marked, phases, capacity, 0);
  cycle.lastVisit = spread(cycle.lastVisit, phases, capacity, 0);
  cycle.capacity = capacity * 2;
}

function spread(values: Float64Array, phases: number, stride: number, fill: number): Float64Array {
  const wide = new Float64Array(values.length * 2).fill(fill);
  for (let p = 0; p < phases; p++) wide.set(values.subarray(p * stride, (p + 1) * stride), 2 * p * stride);
  return wide;
}

/** Makes places twice as wide by joining neighbours. */
function widen(cycle: CycleState): void {
  const { phases, dimension, capacity, shape, visits, lastVisit, unrest, marked } = cycle;
  cycle.widthS *= 2;
  for (let p = 0; p < phases; p++) {
    for (let k = 0; k < capacity; k++) {
      const to = p * capacity + k;
      const from = p * capacity + 2 * k;
      const inside = 2 * k + 1 < capacity;
      visits[to] = inside ? Math.min(visits[from]!, visits[from + 1]!) : 0;
      lastVisit[to] = inside ? Math.max(lastVisit[from]!, lastVisit[from + 1]!) : 0;
      marked[to] = inside ? Math.max(marked[from]!, marked[from + 1]!) : 0;
      for (let j = 0; j < 2; j++) {
        unrest[2 * to + j] = inside ? Math.max(unrest[2 * from + j]!, unrest[2 * from + 2 + j]!) : firstUnrest;
      }
      // The place now stands for its beginning, where it is left gradually for the next.
      for (let j = 0; j < dimension; j++) shape[to * dimension + j] = inside ? shape[from * dimension + j]! : 0;
    }
  }
}
