// Where the rows of a span lie in the cycle of the layer, told ahead so that its components can be walked one by one; and
// how the cycle goes on by them. Times in seconds.
import { kindOf, overdueFrom } from './cycle.ts';
import type { CycleState } from './cycle.ts';
import { memoryLayers } from './cycleMemory.ts';

/** The columns of a block by which its rows are placed: time in seconds, layer, phase; undefined where the log has none. */
export interface Clocks {
  readonly time: Float64Array | undefined;
  readonly layers: Float64Array | undefined;
  readonly phases: Float64Array | undefined;
}

/** Per row of a span: where it lies and what that means for learning. Reused. */
export interface Places {
  readonly place: Int32Array;
  /** How far a sample lies on the way to the next place: 0 at its own, towards 1; 0 where nothing is known of the next. */
  readonly between: Float64Array;
  readonly samplesPerPlace: Float64Array;
  /** How many samples of the place have come in this visit, this one included, lost ones counted. */
  readonly turn: Float64Array;
  /** Layers that have visited the place, this one included. */
  readonly visits: Float64Array;
  /** Share of a distance that is learned there, once the cycle is known. */
  readonly gain: Float64Array;
}

/** A span of rows covers no more places than this. */
export const mostPlaces = 64;

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
  const { widthS, startS, layer, phase, capacity, visits, lastVisit, entered, samples: layerSamples } = cycle;
  const { phaseSamples, longPhase } = cycle;
  const { place: places, between: betweens, samplesPerPlace, turn, visits: known, gain } = span;
  /** One phase only, whatever the rows say: nothing to be compared. */
  const onlyPhase = cycle.phases <= 1;
  const most = mostPlaces;
  const first = phase * capacity;
  const overdue = overdueFrom(cycle);
  /** Where it is not known when the phase began, nothing is learned of its places. */
  const learned = cycle.untimed > 1 ? 0 : 1;
  for (let k = 0; k < count; k++) {
    const wide = widthS > 1.5 * intervalS[k]!;
    let bin = place - first;
    let between = cycle.between;
    if (k > 0) {
      // What these lead to changes for the rows after them, and is seen to at the start of a span.
      if (crosses(layerSamples, k, overdue) || crosses(phaseSamples, k, longPhase)) return k;
      if (layers![from + k] !== layer) return k;
      if (!onlyPhase && kindOf(cycle, phases ? phases[from + k]! : NaN) !== phase) return k;
      const since = (time![from + k]! - startS) / widthS;
      bin = Math.floor(wide ? since : since + 0.5);
      // Beyond these the places themselves must change first, or the span would hold too many of them.
      if (bin >= capacity - 1 || bin - (place - first) >= most) return k;
      between = wide ? since - bin : 0;
    }
    const at = first + bin;
    const wideness = widthS / intervalS[k]!;
    const samples = wideness > 1 ? wideness : 1;
    const count = lastVisit[at] === entered ? visits[at]! : visits[at]! + 1;
    places[k] = at;
    betweens[k] = visits[at + 1]! > 2 ? between : 0;
    samplesPerPlace[k] = samples;
    turn[k] = Math.floor(between * samples + 0.5) + 1;
    known[k] = count;
    gain[k] = learned / ((count < memoryLayers ? count : memoryLayers) * samples);
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
export function goOn(cycle: CycleState, rows: number): void {
  cycle.samples += rows;
  cycle.phaseSamples += rows;
}

/** A count that is now `count` passes `limit` in the next `rows` rows. */
function crosses(count: number, rows: number, limit: number): boolean {
  return count <= limit && count + rows > limit;
}
