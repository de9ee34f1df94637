// How restless each place of the layer usually is: where the cycle does not repeat well, distances are larger, and more is
// asked of a change before it is told. Unrest is a factor on squared distances, 1 where there is none.
import type { CycleState } from './cycle.ts';
import { memoryLayers } from './cycleMemory.ts';

/** Memory of the unrest, in times that a test looked at the place. */
const unrestLooks = 6;
/** One layer raises the unrest of a place as if it were at most so many times its present value. */
const unrestClip = 4;
const suspiciousClip = 1.5;

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
  let most = passingUnrest(cycle, place);
  for (let p = first; p <= last; p++) {
    const above = Math.max(unrest[2 * p + kind]!, markAt(cycle, p)) - 1 - chanceUnrest;
    const there = above > 0 ? 1 + unrestShare * above : 1;
    if (there > most && (p === place || cycle.visits[p]! > 0)) most = there;
  }
  return most;
}

/** The same whatever the place in the layer, while the whole of it is not as it usually is. */
export function passingUnrest({ disturbed, untimed, section }: CycleState, place: number): number {
  return place < 0 ? 1 : Math.max(disturbed, untimed, section.unfamiliar);
}

/**
 * The unrest of a place is the mean of a few looks, and the largest of its neighbours': so much above the usual is chance.
 * Of what goes beyond, this share is believed.
 */
const chanceUnrest = 0.75;
const unrestShare = 0.8;

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
    cycle.marked[p] = Math.max(1, cycle.layers);
  }
}

/** Unrest that a mark stands for by now: all of it as long as a recurrence would take to show, then less layer by layer. */
function markAt({ marked, layers }: CycleState, place: number): number {
  const since = marked[place]!;
  return since > 0 ? markedUnrest * fading ** Math.max(0, layers - since - markedLayers) : 0;
}

const markedPlaces = 8;
export const markedShare = 1 / 8;
/** A change that recurs must be three times as large to be told again. */
const markedUnrest = 17;
/** What recurs does so within so many layers; where it does not, the place is nearly as open as before in as many again. */
const markedLayers = 3;
const fading = 0.5;
