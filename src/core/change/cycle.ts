// The cycle that each layer repeats: for every place in the layer (phase, and time since the phase began) how far the
// signal usually lies from its level just then. Taking that off leaves level, trend, noise and breaks. The level itself is
// followed by exponential smoothing with a slope (Holt 1957) over about one layer, with wild samples held back, and moved
// at once when a break is confirmed, so that a lasting break hardly touches the cycle.
// Without phases the place counts from the start of the layer; without layers there is no cycle and nothing is taken off.
// Units: those of the vector's components (strain; kelvin for the temperature).

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
  /** Layers that have visited each place, and the last of them. */
  visits: Float64Array;
  lastVisit: Float64Array;
  layer: number;
  phase: number;
  startS: number;
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

/** The columns of a block by which its rows are placed: time in seconds, layer, phase; undefined where the log has none. */
export interface Clocks {
  readonly time: Float64Array | undefined;
  readonly layers: Float64Array | undefined;
  readonly phases: Float64Array | undefined;
}

/** Per row of a span: where it lies and what that means for learning. Reused. */
export interface Places {
  readonly place: Int32Array;
  readonly between: Float64Array;
  readonly samplesPerPlace: Float64Array;
  /** Layers that have visited the place, this one included. */
  readonly visits: Float64Array;
  /** Share of a distance that is learned there, once the cycle is known. */
  readonly gain: Float64Array;
}

/** A span of rows covers no more places than this. */
export const mostPlaces = 64;

/** Room for places per phase at first, and at most: beyond it places are made twice as wide. */
const firstCapacity = 64;
const largestCapacity = 512;
/** Memory in layers. Geometry changes slowly over layers; a memory of 12 costs 1/12 of extra variance. */
export const memoryLayers = 12;
/** A place not seen before is taken to be a little restless. */
const firstUnrest = 1.5;
/** Memory of the unrest, in times that a test looked at the place. */
const unrestLooks = 6;
/** Young cycles are uncertain everywhere: excess unrest in the first layer judged; it falls as the layers mount. */
const youngUnrest = 16;
/** Layers from which on it falls with the square of their number. */
const youngLayers = 8;
/** One layer raises the unrest of a place as if it were at most so many times its present value. */
const unrestClip = 4;
const suspiciousClip = 1.5;
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
    visits: new Float64Array(places),
    lastVisit: new Float64Array(places),
    layer: NaN,
    phase: -1,
    startS: NaN,
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

/** The place of a sample, -1 where there is none. */
export function placeOf(cycle: CycleState, timeS: number, layer: number, phase: number, intervalS: number): number {
  if (cycle.phases === 0 || timeS !== timeS || layer !== layer) return -1;
  const kind = kindOf(cycle, phase);
  cycle.samples++;
  cycle.phaseSamples++;
  if (overdue(cycle) && cycle.layers > learningLayers) cycle.disturbed = stopUnrest;
  if (layer !== cycle.layer || kind !== cycle.phase) enter(cycle, timeS, layer, kind);
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

function kindOf({ phases }: CycleState, phase: number): number {
  return phases > 1 ? (phase >= 0 && phase < phases - 1 ? phase : phases - 1) : 0;
}

function enter(cycle: CycleState, timeS: number, layer: number, kind: number): void {
  if (layer !== cycle.layer) {
    // The first layer is seen in part only.
    if (cycle.entered > 0) {
      const counted = Math.max(fewestSamples, Math.min(mostSamples, cycle.samples));
      cycle.usualSamples += (counted - cycle.usualSamples) / 4;
    }
    if (!overdue(cycle)) cycle.disturbed = 1 + calming * (cycle.disturbed - 1);
    cycle.samples = 0;
    cycle.layers++;
  }
  cycle.layer = layer;
  cycle.phase = kind;
  cycle.startS = timeS;
  cycle.phaseSamples = 0;
  cycle.entered++;
}

/** The layer has lasted longer than they usually do: the laser has stopped. */
function overdue(cycle: CycleState): boolean {
  return cycle.samples > overdueFrom(cycle);
}

function overdueFrom({ usualSamples }: CycleState): number {
  return overdueShare * usualSamples + overdueSamples;
}

/** A count that is now `count` passes `limit` in the next `rows` rows. */
function crosses(count: number, rows: number, limit: number): boolean {
  return count <= limit && count + rows > limit;
}

/** The plate has not yet come back into its rhythm after a layer that lasted too long. */
export function outOfRhythm(cycle: CycleState): boolean {
  return cycle.disturbed > disturbedLimit;
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
 * growth that the trend has not learned yet.
 */
export function judgedSpan(cycle: CycleState, place: number): number {
  if (place < 0 || cycle.phaseSamples > cycle.longPhase) return Infinity;
  return Math.max(0.5, cycle.layers - trendLayers) * cycle.usualSamples;
}

const trendLayers = 24;

/** True at the first sample at which so many layers have gone by that the cycle is known. */
export function justLearned(cycle: CycleState): boolean {
  return cycle.layers === learningLayers + 1 && cycle.samples === 0;
}

/** Layers from which on a new place is taken to go on like the one before it. */
export const learningLayers = 4;
/** Samples and seconds of a long phase. */
const longPhase = 1024;
const longPhaseS = 1200;

/**
 * Places of the rows `from` + 1 ... of a block that go on in the same phase of the same layer, into `span`; the row `from`
 * has been entered already and lies at `place`. Answers with the number of rows, that one included, at most `count`;
 * changes nothing. `intervalS`: the usual interval at each of the rows.
 */
export function placesAhead(
  cycle: CycleState,
  { time, layers, phases }: Clocks,
  from: number,
  count: number,
  place: number,
  intervalS: Float64Array,
  span: Places,
): number {
  const { widthS, startS, layer, phase, capacity, visits, lastVisit, entered } = cycle;
  const first = phase * capacity;
  const overdue = overdueFrom(cycle);
  for (let k = 0; k < count; k++) {
    const wide = widthS > 1.5 * intervalS[k]!;
    let bin = place - first;
    let between = cycle.between;
    if (k > 0) {
      // What these lead to changes for the rows after them, and is seen to at the start of a span.
      if (crosses(cycle.samples, k, overdue) || crosses(cycle.phaseSamples, k, cycle.longPhase)) return k;
      if (layers![from + k] !== layer || kindOf(cycle, phases ? phases[from + k]! : NaN) !== phase) return k;
      const since = (time![from + k]! - startS) / widthS;
      bin = Math.floor(wide ? since : since + 0.5);
      // Beyond these the places themselves must change first, or the span would hold too many of them.
      if (bin >= capacity - 1 || bin - (place - first) >= mostPlaces) return k;
      between = wide ? since - bin : 0;
    }
    const at = first + bin;
    const samples = Math.max(1, widthS / intervalS[k]!);
    const count = lastVisit[at] === entered ? visits[at]! : visits[at]! + 1;
    span.place[k] = at;
    span.between[k] = between;
    span.samplesPerPlace[k] = samples;
    span.visits[k] = count;
    span.gain[k] = 1 / (Math.min(count, memoryLayers) * samples);
  }
  return count;
}

/** The place of row `k` of a span is visited. */
export function visit(cycle: CycleState, { place, samplesPerPlace }: Places, k: number): void {
  const at = place[k]!;
  cycle.samplesPerPlace = samplesPerPlace[k]!;
  if (cycle.lastVisit[at] === cycle.entered) return;
  cycle.lastVisit[at] = cycle.entered;
  cycle.visits[at]!++;
}

/** Phase and layer go on by so many rows that `placesAhead` has told. */
export function goOn(cycle: CycleState, { between }: Places, rows: number): void {
  cycle.samples += rows;
  cycle.phaseSamples += rows;
  cycle.between = between[rows]!;
}

/** Moves the levels, e.g. by a confirmed break. */
export function moveLevels(cycle: CycleState, by: readonly number[]): void {
  by.forEach((d, j) => (cycle.level[j]! += d));
}

/** Forgets levels, e.g. after a gap. */
export function forgetLevels(cycle: CycleState): void {
  cycle.level.fill(NaN);
  cycle.slope.fill(0);
}

/**
 * Factor (>= 1) by which distances at a place are usually larger; `kind` 0 for short tests, 1 for long ones. That of the
 * most restless place nearby: steps of the layer do not keep to the second.
 */
export function unrestAt(cycle: CycleState, place: number, kind: 0 | 1): number {
  if (place < 0) return 1;
  const { unrest, capacity } = cycle;
  const near = nearPlaces(cycle, jitterShare);
  const start = place - (place % capacity);
  const first = Math.max(start, place - near);
  const last = Math.min(start + capacity - 1, place + near);
  const age = cycle.layers - learningLayers;
  let most = cycle.disturbed;
  if (age > 0) most *= 1 + (youngUnrest / age) * (age > youngLayers ? youngLayers / age : 1);
  for (let p = first; p <= last; p++) {
    const there = 1 + unrestShare * (unrest[2 * p + kind]! - 1);
    if (there > most && (p === place || cycle.visits[p]! > 0)) most = there;
  }
  return most;
}

/**
 * Share of the unrest of a place that is believed: it is the mean of a few looks, and the largest of its neighbours', so
 * about half of it is chance.
 */
const unrestShare = 0.5;

/** So many places on either side are a share of the layer. */
export function nearPlaces(cycle: CycleState, share: number): number {
  const width = Math.max(1, cycle.samplesPerPlace);
  return Math.floor((share * cycle.usualSamples) / width + 0.5);
}

/** What begins a step of the layer comes this much earlier or later, as a share of the layer. */
const jitterShare = 1 / 32;

/**
 * Learns what one test found at a place: `ratio` is its squared distance over the expected one. While a break is
 * suspected (`suspicious`) a place that is known learns little: else a break would hide itself.
 */
export function learnUnrest(
  cycle: CycleState,
  place: number,
  kind: 0 | 1,
  ratio: number,
  intervalS: number,
  suspicious: boolean,
): void {
  if (place < 0) return;
  const now = cycle.unrest[2 * place + kind]!;
  const count = cycle.visits[place]! + 1;
  const most = now * (suspicious && count > memoryLayers / 2 ? suspiciousClip : unrestClip);
  const gain = 1 / ((count < unrestLooks ? count : unrestLooks) * Math.max(1, cycle.widthS / intervalS));
  cycle.unrest[2 * place + kind] = now + gain * ((ratio < most ? ratio : most) - now);
}

/** Marks the places about one where a change was told as restless: should it recur there, it is the cycle. */
export function markRestless(cycle: CycleState, place: number): void {
  if (place < 0) return;
  const start = place - (place % cycle.capacity);
  const near = Math.min(markedPlaces, nearPlaces(cycle, markedShare));
  const last = Math.min(start + cycle.capacity - 1, place + near);
  for (let p = Math.max(start, place - near); p <= last; p++) {
    for (let kind = 0; kind < 2; kind++) {
      const at = 2 * p + kind;
      if (cycle.unrest[at]! < markedUnrest) cycle.unrest[at] = markedUnrest;
    }
  }
}

const markedPlaces = 8;
export const markedShare = 1 / 8;
/** A change that recurs must be three times as large to be told again. */
const markedUnrest = 17;

/** Forgets the places, e.g. after the sampling rate changed: they no longer fit. */
export function forgetPlaces(cycle: CycleState): void {
  cycle.widthS = 0;
  cycle.visits.fill(0);
  cycle.lastVisit.fill(0);
  cycle.shape.fill(0);
  cycle.unrest.fill(firstUnrest);
}

function grow(cycle: CycleState): void {
  const { phases, dimension, capacity } = cycle;
  cycle.shape = spread(cycle.shape, phases, dimension * capacity, 0);
  cycle.unrest = spread(cycle.unrest, phases, 2 * capacity, firstUnrest);
  cycle.visits = spread(cycle.visits, phases, capacity, 0);
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
  const { phases, dimension, capacity, shape, visits, lastVisit, unrest } = cycle;
  cycle.widthS *= 2;
  for (let p = 0; p < phases; p++) {
    for (let k = 0; k < capacity; k++) {
      const to = p * capacity + k;
      const from = p * capacity + 2 * k;
      const inside = 2 * k + 1 < capacity;
      visits[to] = inside ? Math.min(visits[from]!, visits[from + 1]!) : 0;
      lastVisit[to] = inside ? Math.max(lastVisit[from]!, lastVisit[from + 1]!) : 0;
      for (let j = 0; j < 2; j++) {
        unrest[2 * to + j] = inside ? Math.max(unrest[2 * from + j]!, unrest[2 * from + 2 + j]!) : firstUnrest;
      }
      // The place now stands for its beginning, where it is left gradually for the next.
      for (let j = 0; j < dimension; j++) shape[to * dimension + j] = inside ? shape[from * dimension + j]! : 0;
    }
  }
}
