// The cycle that each layer repeats: for every place in the layer (phase, and time since the phase began) the mean step
// from one sample to the next in earlier layers. What is left of a step when that mean is taken off no longer knows the
// cycle, nor the mean growth per layer. Works on steps, not on levels, so a lasting break touches one place only.
// Without phases the place counts from the start of the layer; without layers there is no cycle and nothing is taken off.
// Units: those of the vector's components (strain; kelvin for the temperature), per sample.

export interface CycleState {
  /** Kinds of phase told apart; 0 where the log has no layers. */
  readonly phases: number;
  readonly dimension: number;
  /** Places per phase for which there is room now. */
  capacity: number;
  /** Width of a place, seconds; 0 until the pace is known. */
  widthS: number;
  /** Mean step per place and component. */
  mean: Float64Array;
  /** Per place, how unusual the short and the long tests usually are there: mean of distance over its expectation. */
  unrest: Float64Array;
  /** Layers that have visited each place, and the last of them. */
  visits: Float64Array;
  lastVisit: Float64Array;
  layer: number;
  phase: number;
  startS: number;
  /** Counts phases entered. */
  entered: number;
}

/** Room for places per phase at first, and at most: beyond it places are made twice as wide. */
const firstCapacity = 64;
const largestCapacity = 512;
/** Memory in layers. Geometry changes slowly over layers; a memory of 12 costs 1/12 of extra variance. */
const memoryLayers = 12;
/** A place is taken to be this restless before it is known: its first layers may differ by three noises from the mean. */
const firstUnrest = 9;
/** One layer raises the unrest of a place as if it were at most so many times its present value. */
const unrestClip = 4;
/** Steps further from the mean than so many step noises count as this far only (Huber 1964; 3 to 4 is usual). */
const stepClip = 4;

export function newCycle(phases: number, dimension: number): CycleState {
  return {
    phases,
    dimension,
    capacity: firstCapacity,
    widthS: 0,
    mean: new Float64Array(phases * firstCapacity * dimension),
    unrest: new Float64Array(phases * firstCapacity * 2).fill(firstUnrest),
    visits: new Float64Array(phases * firstCapacity),
    lastVisit: new Float64Array(phases * firstCapacity),
    layer: NaN,
    phase: -1,
    startS: NaN,
    entered: 0,
  };
}

/** The place of a sample, -1 where there is none. */
export function placeOf(cycle: CycleState, timeS: number, layer: number, phase: number, intervalS: number): number {
  if (cycle.phases === 0 || Number.isNaN(timeS) || Number.isNaN(layer)) return -1;
  const kind = cycle.phases > 1 ? (phase >= 0 && phase < cycle.phases - 1 ? phase : cycle.phases - 1) : 0;
  if (layer !== cycle.layer || kind !== cycle.phase) {
    cycle.layer = layer;
    cycle.phase = kind;
    cycle.startS = timeS;
    cycle.entered++;
  }
  if (cycle.widthS === 0) {
    if (!(intervalS > 0)) return -1;
    cycle.widthS = intervalS;
  }
  let bin = Math.floor((timeS - cycle.startS) / cycle.widthS + 0.5);
  while (bin >= cycle.capacity) {
    if (cycle.capacity < largestCapacity) grow(cycle);
    else widen(cycle);
    bin = Math.floor((timeS - cycle.startS) / cycle.widthS + 0.5);
  }
  return bin < 0 ? -1 : kind * cycle.capacity + bin;
}

/** The place is known well enough to be taken off. */
export function known(cycle: CycleState, place: number): boolean {
  return place >= 0 && cycle.visits[place]! >= 2;
}

/**
 * Takes the mean step at a place off `step` (in place) and learns from it. `noise` is the usual size of a step's
 * residue per component. Steps that are NaN are left alone.
 */
export function takeOff(
  cycle: CycleState,
  place: number,
  intervalS: number,
  step: Float64Array,
  noise: Float64Array,
): void {
  const { dimension, mean, visits, lastVisit } = cycle;
  const base = place * dimension;
  if (lastVisit[place] !== cycle.entered) {
    lastVisit[place] = cycle.entered;
    visits[place]!++;
  }
  const count = visits[place]!;
  const samples = Math.max(1, cycle.widthS / intervalS);
  if (count <= 2) {
    // One layer cannot tell a cycle from an event; two agree only on what both did: the smaller step of equal sign.
    for (let j = 0; j < dimension; j++) {
      const own = step[j]!;
      if (own !== own) continue;
      const before = mean[base + j]!;
      if (count === 1) mean[base + j] = before + (own - before) / samples;
      else {
        const agreed = own * before <= 0 ? 0 : Math.abs(own) < Math.abs(before) ? own : before;
        mean[base + j] = samples < 2 ? agreed : before + (agreed - before) / samples;
        step[j] = own - agreed;
      }
    }
    return;
  }
  const gain = 1 / (Math.min(count, memoryLayers) * samples);
  for (let j = 0; j < dimension; j++) {
    const residue = step[j]! - mean[base + j]!;
    if (residue !== residue) continue;
    step[j] = residue;
    const limit = stepClip * noise[j]!;
    mean[base + j]! += gain * (residue > limit ? limit : residue < -limit ? -limit : residue);
  }
}

/** Factor (>= 1) by which distances at a place are usually larger; `kind` 0 for short tests, 1 for long ones. */
export function unrestAt(cycle: CycleState, place: number, kind: 0 | 1): number {
  if (place < 0) return 1;
  const unrest = cycle.unrest[2 * place + kind]!;
  return unrest > 1 ? unrest : 1;
}

/** Learns what one test found at a place: `ratio` is its squared distance over the expected one. */
export function learnUnrest(cycle: CycleState, place: number, kind: 0 | 1, ratio: number, intervalS: number): void {
  if (place < 0) return;
  const now = cycle.unrest[2 * place + kind]!;
  const count = cycle.visits[place]! + 1;
  const gain = 1 / ((count < memoryLayers ? count : memoryLayers) * Math.max(1, cycle.widthS / intervalS));
  cycle.unrest[2 * place + kind] = now + gain * ((ratio < unrestClip * now ? ratio : unrestClip * now) - now);
}

/** Forgets the places, e.g. after the sampling rate changed: they no longer fit. */
export function forgetPlaces(cycle: CycleState): void {
  cycle.widthS = 0;
  cycle.visits.fill(0);
  cycle.lastVisit.fill(0);
  cycle.mean.fill(0);
  cycle.unrest.fill(firstUnrest);
}

function grow(cycle: CycleState): void {
  const capacity = cycle.capacity * 2;
  cycle.mean = spread(cycle.mean, cycle.phases, cycle.dimension * cycle.capacity);
  const unrest = spread(cycle.unrest, cycle.phases, 2 * cycle.capacity);
  for (let p = 0; p < cycle.phases; p++) {
    unrest.fill(firstUnrest, (2 * p + 1) * 2 * cycle.capacity, (2 * p + 2) * 2 * cycle.capacity);
  }
  cycle.unrest = unrest;
  cycle.visits = spread(cycle.visits, cycle.phases, cycle.capacity);
  cycle.lastVisit = spread(cycle.lastVisit, cycle.phases, cycle.capacity);
  cycle.capacity = capacity;
}

function spread(values: Float64Array, phases: number, stride: number): Float64Array {
  const wide = new Float64Array(values.length * 2);
  for (let p = 0; p < phases; p++) wide.set(values.subarray(p * stride, (p + 1) * stride), 2 * p * stride);
  return wide;
}

/** Makes places twice as wide by joining neighbours. */
function widen(cycle: CycleState): void {
  const { phases, dimension, capacity, mean, visits, lastVisit } = cycle;
  cycle.widthS *= 2;
  for (let p = 0; p < phases; p++) {
    for (let k = 0; k < capacity; k++) {
      const to = p * capacity + k;
      const from = p * capacity + 2 * k;
      const inside = 2 * k + 1 < capacity;
      visits[to] = inside ? Math.min(visits[from]!, visits[from + 1]!) : 0;
      lastVisit[to] = inside ? Math.max(lastVisit[from]!, lastVisit[from + 1]!) : 0;
      for (let j = 0; j < 2; j++) {
        const unrest = cycle.unrest;
        unrest[2 * to + j] = inside ? Math.max(unrest[2 * from + j]!, unrest[2 * from + 2 + j]!) : firstUnrest;
      }
      for (let j = 0; j < dimension; j++) {
        mean[to * dimension + j] = inside ? 0.5 * (mean[from * dimension + j]! + mean[(from + 1) * dimension + j]!) : 0;
      }
    }
  }
}
