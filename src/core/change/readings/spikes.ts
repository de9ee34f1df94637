// Lone wild samples: a channel that leaves its level by many noises for one or two samples and is back. Fed with each
// sample's distance from the level just before, in noises. Frequent spikes raise the bar up to a bound, so that heavy
// tails are not told one by one, while gross ones always are.

export interface SpikeState {
  /** Bar in noises per component, and the sample at which it was last moved. */
  readonly bar: Float64Array;
  readonly movedAt: Float64Array;
  /** Sample at which a component left its level, 0 if it has not; and the greatest distance since. */
  readonly since: Float64Array;
  readonly peak: Float64Array;
  /** Components that are away now. */
  away: number;
}

/** Lowest bar: for normal noise one sample in 10^23; for heavy tails it is what raises the bar. */
const lowestBar = 10;
/** Always told, however many. */
const highestBar = 25;
/** Each spike raises the bar by this factor; it sinks back over so many samples. */
const raise = 1.25;
const sinkSamples = 100_000;
/** Back is within so many noises of the level. */
const backNoises = 4;
/** Longer than this it is no spike. */
const longest = 2;

export function newSpikes(dimension: number): SpikeState {
  return {
    bar: new Float64Array(dimension).fill(lowestBar),
    movedAt: new Float64Array(dimension),
    since: new Float64Array(dimension),
    peak: new Float64Array(dimension),
    away: 0,
  };
}

/** Largest distance that needs no attention: the detector's quick check. */
export const quietNoises = lowestBar;

/**
 * Follows components that are or go away. `sample` counts samples and never restarts. Returns the components whose
 * spike has just ended, with onset and peak in `state`; undefined for none.
 */
export function followSpikes(
  state: SpikeState,
  excess: Float64Array,
  first: number,
  sample: number,
): number[] | undefined {
  let ended: number[] | undefined;
  for (let j = first; j < excess.length; j++) {
    const e = excess[j]!;
    const size = Math.abs(e);
    if (state.since[j] === 0) {
      if (size <= lowestBar || size <= barNow(state, j, sample)) continue;
      state.since[j] = sample;
      state.peak[j] = e;
      state.away++;
    } else if (size < backNoises || size < 0.25 * Math.abs(state.peak[j]!)) {
      if (sample - state.since[j]! <= longest) {
        (ended ??= []).push(j);
        raiseBar(state, j, sample);
      }
      state.away--;
      if (!ended?.includes(j)) state.since[j] = 0;
    } else if (sample - state.since[j]! > longest) {
      state.since[j] = 0;
      state.away--;
    } else if (size > Math.abs(state.peak[j]!)) state.peak[j] = e;
  }
  return ended;
}

/** To be called for each ended spike once it has been read. */
export function closeSpike(state: SpikeState, j: number): void {
  state.since[j] = 0;
}

/** Drops the spikes that have not ended. */
export function forgetSpikes(state: SpikeState): void {
  state.since.fill(0);
  state.away = 0;
}

function barNow(state: SpikeState, j: number, sample: number): number {
  const sunk = Math.exp((state.movedAt[j]! - sample) / sinkSamples);
  return lowestBar + (state.bar[j]! - lowestBar) * sunk;
}

function raiseBar(state: SpikeState, j: number, sample: number): void {
  state.bar[j] = Math.min(highestBar, barNow(state, j, sample) * raise);
  state.movedAt[j] = sample;
}
