// Channels that spike so often that their spikes are no longer single events: a loose plug, a fibre that loses its signal
// now and then. Such spikes soon count as the channel's own noise wherever noise is a mean square, however it is clipped: so
// they are held against a noise that they cannot raise, the first quartile of the differences between samples one to four
// apart. Of any two-valued chatter, whatever its share, half of all pairs have the same value, so the quartile stays within
// twice that of the channel at rest. `followComponent.ts` follows it; here is what the rows make of it.
// A channel whose spikes weigh more in the tests than its noise is sick: that is told, and from then on its spikes are taken
// for missing readings, each of them counted. Plain data: part of the cell detector's state.
import { lowerFloor } from '../blocks/blockTests.ts';
import type { CellDetectorState } from './cellDetectorState.ts';
import type { CellFrame } from '../cellFrame.ts';
import type { SensorFinding } from '../findings.ts';
import { instantIn } from '../readings/heatWatch.ts';
import type { Instant } from '../readings/heatWatch.ts';
import { knownNow, slot } from '../history.ts';
import { onsetOf, phaseIndex } from '../confirm/onset.ts';
import { usualIntervalS } from '../pace.ts';
import type { Span } from './span.ts';

export interface ChatterState {
  /** Per component: noise at rest, the level of samples that are no spikes, and wild samples in a row about it. */
  readonly calm: Float64Array;
  readonly level: Float64Array;
  readonly off: Float64Array;
  /** Per component, the last four samples, the latest first; NaN where there were none. */
  readonly recent: Float64Array;
  /** Per component, the longest run of spikes that are taken for missing readings; 0 where none are. */
  readonly sick: Float64Array;
  /** 1 where that is about to change. */
  readonly turning: Float64Array;
  /** Per component: rows of the spike that is under way, and those of them in which no other channel was wild. */
  readonly run: Float64Array;
  readonly lone: Float64Array;
  /** Components with a spike under way. */
  open: number;
  /** Per component: share of samples that are its spikes, the sample at which it was reckoned, spikes since `onset`. */
  readonly share: Float64Array;
  readonly at: Float64Array;
  readonly count: Float64Array;
  readonly onset: Instant[];
}

/** What a component's sample is: as usual, wild, the first of a new level, or well off the level but not wild. */
const wildness = { none: 0, wild: 1, moved: 2, stirred: 3 } as const;

/**
 * Samples held to six noises, as those of the tests are, have twice the noise's variance where a share of one in 36 lies
 * that far: from there on the spikes weigh more than the noise.
 */
const sickShare = 1 / 36;
/** A channel is well again when its share has fallen to a quarter of that. */
const wellShare = sickShare / 4;
/** The share is that of about so many samples, and so many seconds: as far back as any test looks. */
const memorySamples = 512;
const memoryS = 120;

export function newChatter(dimension: number, noise: Float64Array): ChatterState {
  const perComponent = (): Float64Array => new Float64Array(dimension);
  return {
    calm: noise.slice(),
    level: perComponent().fill(NaN),
    off: perComponent(),
    recent: new Float64Array(4 * dimension).fill(NaN),
    sick: perComponent(),
    turning: perComponent(),
    run: perComponent(),
    lone: perComponent(),
    open: 0,
    share: perComponent(),
    at: perComponent(),
    count: perComponent(),
    onset: Array.from({ length: dimension }, () => ({ row: -1, line: -1, timeS: NaN, layer: NaN })),
  };
}

/**
 * Takes row `k` of a span, `sample` by the cell's count; true where a channel has fallen sick or is well again: once the row
 * is kept, `turnSick` makes it so.
 */
export function takeWildness(
  frame: CellFrame,
  state: CellDetectorState,
  span: Span,
  k: number,
  sample: number,
): boolean {
  const { chatter } = state;
  const { run, lone, sick } = chatter;
  const { first, dimension } = frame;
  const { wild } = span;
  if ((span.wildRows[k] === 0 && chatter.open === 0) || !state.tests) return false;
  const at = k * dimension;
  // What other channels do at the same time is no matter of this one.
  let wells = 0;
  for (let j = first; j < dimension; j++) if (wild[at + j] !== wildness.none && sick[j] === 0) wells++;
  let turned = false;
  for (let j = first; j < dimension; j++) {
    if (wild[at + j] === wildness.wild) {
      if (run[j] === 0) chatter.open++;
      run[j]!++;
      if (wells === (sick[j] === 0 ? 1 : 0)) lone[j]!++;
    } else if (run[j]! > 0) {
      const isSpike = wild[at + j] !== wildness.moved && (sick[j]! > 0 || lone[j] === run[j]);
      if (isSpike && takeSpike(frame, state, j, sample)) turned = true;
      chatter.open--;
      run[j] = 0;
      lone[j] = 0;
    }
  }
  return turned;
}

/** Takes a spike of component `j` that has just ended; true where the channel has fallen sick by it or is well again. */
function takeSpike(frame: CellFrame, state: CellDetectorState, j: number, sample: number): boolean {
  const { chatter, pace, history } = state;
  const { share, at, count, sick, turning, run } = chatter;
  const memory = pace.intervalS > 0 ? Math.max(memorySamples, memoryS / pace.intervalS) : memorySamples;
  const faded = share[j]! * Math.exp((at[j]! - sample) / memory);
  at[j] = sample;
  share[j] = faded + 1 / memory;
  if (faded < 1 / memory && sick[j] === 0) {
    count[j] = 0;
    chatter.onset[j] = instantIn(onsetOf(history, Math.max(0, history.count - 1 - run[j]!)));
  }
  count[j]!++;
  if (sick[j]! > 0) {
    state.findings.push(chatterFinding(frame, state, j, 'spike'));
    if (share[j]! >= wellShare) return false;
  } else if (share[j]! <= sickShare) return false;
  else state.findings.push(chatterFinding(frame, state, j, 'wander'));
  turning[j] = 1;
  return true;
}

/** Channels that have turned are sick, or well again, from the next row on; true where one has fallen sick. */
export function turnSick(state: CellDetectorState): boolean {
  const { sick, turning } = state.chatter;
  let fallen = false;
  turning.forEach((turns, j) => {
    if (turns === 0) return;
    turning[j] = 0;
    sick[j] = sick[j] === 0 ? longestRun(state, j) : 0;
    if (sick[j] === 0) return;
    calmDown(state, j);
    fallen = true;
  });
  return fallen;
}

/** Spikes in a row that come by chance once in so many samples, at the rate at which component `j` spikes. */
function longestRun({ chatter, history }: CellDetectorState, j: number): number {
  const rows = history.row[slot(history.count)]! + 1 - chatter.onset[j]!.row;
  return Math.ceil(Math.log(chanceSamples) / Math.log(rows / Math.min(chatter.count[j]!, rows / 2)));
}

const chanceSamples = 5000;

/** What was taken for the channel's noise were its spikes. */
function calmDown({ chatter, noise, cycle, tests }: CellDetectorState, j: number): void {
  const calm = chatter.calm[j]!;
  noise[j] = Math.min(noise[j]!, calm);
  cycle.noise[j] = Math.min(cycle.noise[j]!, calm);
  if (tests) lowerFloor(tests, j, calm);
}

/** Of component `j`: that it spikes too often (`wander`), or one more spike of a channel of which that is told. */
export function chatterFinding(
  frame: CellFrame,
  state: CellDetectorState,
  j: number,
  what: 'wander' | 'spike',
): SensorFinding {
  const { chatter, history, pace } = state;
  return {
    what,
    cell: frame.cell,
    ...knownNow(history),
    ...instantIn(chatter.onset[j]!),
    channels: [frame.channels[j - frame.first]!],
    endRow: -1,
    endTimeS: NaN,
    samples: chatter.count[j]!,
    size: 0,
    sigmas: 0,
    phase: phaseIndex(history.phase[slot(history.count)]!),
    intervalS: usualIntervalS(pace),
    chatters: true,
  };
}
