// All that one cell's detector remembers from row to row: plain data, saved with the index of a log.
import type { LogHeader } from '../../header/logHeader.ts';
import { differenceNoise } from '../../strain/robust.ts';
import type { BlockTestsState } from '../blocks/blockTests.ts';
import type { BlowTestState } from '../blocks/blowTest.ts';
import type { CellFrame } from '../cellFrame.ts';
import { newChatter } from './chatter.ts';
import type { ChatterState } from './chatter.ts';
import { ChangeWatch } from '../confirm/changeWatch.ts';
import type { ChangeWatchState } from '../confirm/changeWatch.ts';
import { newCycle } from '../cycle/cycle.ts';
import type { CycleState } from '../cycle/cycle.ts';
import type { CellFinding } from '../findings.ts';
import { newHealth, resolved } from '../readings/health.ts';
import type { HealthState } from '../readings/health.ts';
import { HealthWatch } from '../readings/healthWatch.ts';
import type { HealthWatchState } from '../readings/healthWatch.ts';
import { newHeat } from '../readings/heatWatch.ts';
import type { HeatState } from '../readings/heatWatch.ts';
import { newHistory, ringSize, slot } from '../history.ts';
import type { HistoryState } from '../history.ts';
import { newPace } from '../pace.ts';
import type { PaceState } from '../pace.ts';
import type { SlowState } from './slowMeans.ts';
import { newSpikes } from '../readings/spikes.ts';
import type { SpikeState } from '../readings/spikes.ts';

export interface CellDetectorState {
  readonly pace: PaceState;
  readonly cycle: CycleState;
  readonly history: HistoryState;
  readonly health: HealthState[];
  readonly spikes: SpikeState;
  readonly chatter: ChatterState;
  tests: BlockTestsState | undefined;
  /** The test for blows of one sample; undefined while there are no tests. */
  blow: BlowTestState | undefined;
  /** The watch over what comes slowly; undefined while there are no tests, and where rows come seldom. */
  slow: SlowState | undefined;
  /** Per component: last value, the same with the cycle off, and noise of one sample about the level before it. */
  readonly value: Float64Array;
  readonly flat: Float64Array;
  readonly noise: Float64Array;
  /** Rows with at least one channel; never restarts. */
  samples: number;
  watch: ChangeWatchState;
  /** Place and layer count at which a change was last confirmed. */
  confirmedPlace: number;
  confirmedLayer: number;
  sick: HealthWatchState;
  readonly heat: HeatState;
  /** Per component, for how many rows it is left out should it be found sick again. */
  readonly heldOutFor: Float64Array;
  findings: CellFinding[];
}

/** Rows for which a channel found sick is left out the first time. */
const firstHeldOut = 512;
/** No noise is less: a thousandth of a microstrain and a hundredth of a millikelvin, below any instrument. */
const leastStrainNoise = 1e-9;
const leastTemperatureNoise = 1e-5;
/** Standard deviation of rounding to a step of one (uniform law). */
const resolutionNoise = 1 / Math.sqrt(12);

/** The least noise of one sample of component `j`: not less than that of rounding to the readings' resolution. */
export function leastNoise({ first, perUnit }: CellFrame, health: readonly HealthState[], j: number): number {
  const least = j < first ? leastTemperatureNoise : leastStrainNoise;
  const h = health[j]!;
  if (!resolved(h)) return least;
  const resolution = h.quantum * perUnit[j]! * resolutionNoise;
  return resolution > least && resolution < Infinity ? resolution : least;
}

/**
 * Noise that the datum window does not tell, from the samples of the history: what was followed since began at next to
 * nothing, and is not there yet.
 */
export function learnFirstNoise(
  { noise }: CellFrame,
  { history, cycle, chatter, noise: followed }: CellDetectorState,
): void {
  const { dimension, raw, count } = history;
  const from = Math.max(1, count - ringSize + 1);
  noise.forEach((told, j) => {
    if (told > 0) return;
    const values = Array.from({ length: count - from + 1 }, (_, i) => raw[slot(from + i) * dimension + j]!);
    const first = differenceNoise(values);
    if (!(first > followed[j]!)) return;
    followed[j] = first;
    cycle.noise[j] = first;
    chatter.calm[j] = first;
  });
}

export function newCellDetectorState(header: LogHeader, frame: CellFrame): CellDetectorState {
  const { dimension } = frame;
  const phases = header.roles.layer < 0 ? 0 : header.roles.phase < 0 ? 1 : 4;
  const starting = frame.noise.map((n, j) => (n > 0 ? n : j < frame.first ? leastTemperatureNoise : leastStrainNoise));
  return {
    pace: newPace(),
    cycle: newCycle(phases, dimension, Float64Array.from(starting)),
    history: newHistory(dimension),
    health: Array.from({ length: dimension }, newHealth),
    spikes: newSpikes(dimension),
    chatter: newChatter(dimension, Float64Array.from(starting)),
    tests: undefined,
    blow: undefined,
    slow: undefined,
    value: new Float64Array(dimension).fill(NaN),
    flat: new Float64Array(dimension).fill(NaN),
    noise: Float64Array.from(starting),
    samples: 0,
    watch: ChangeWatch.newState(frame.channels.length),
    heldOutFor: new Float64Array(dimension).fill(firstHeldOut),
    confirmedPlace: -1,
    confirmedLayer: -1,
    sick: HealthWatch.newState(),
    heat: newHeat(),
    findings: [],
  };
}
