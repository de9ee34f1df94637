// One cell's temperature: kelvin per row with the layer's cycle off come in, unusual excursions go out as findings, at
// their onset and again at their end. The excursion is a short exponential mean of the distance from a slowly followed
// level and trend (Roberts 1959, Holt 1957), measured by its own usual range, which is learned with wild values held at three (Huber 1964).
// A layer that lasts longer than usual is a witness of its own (the laser has stopped): less then suffices.
import type { CellFinding, HeatFinding } from './findings.ts';

export interface HeatState {
  /** Samples with a temperature, and layers begun, since the level was last begun afresh. */
  samples: number;
  /** Level followed and its slope per sample, mean distance from it just now, and usual size of that: kelvin. */
  level: number;
  slope: number;
  fast: number;
  usual: number;
  /** Where it last left the usual range; undefined while within it. */
  left: Instant | undefined;
  /** What has been told and not ended. */
  told: HeatFinding | undefined;
  serial: number;
}

export interface Instant {
  readonly row: number;
  readonly line: number;
  readonly timeS: number;
  readonly layer: number;
}

export interface LayerClock {
  /** Samples of this layer so far, and usually; the latter where there are no layers is a fixed memory. */
  readonly samples: number;
  readonly usualSamples: number;
  /** The cycle is known, and so is this place of it, by enough layers that have visited it. */
  readonly known: boolean;
  readonly settled: boolean;
  readonly intervalS: number;
}

/** Time over which an excursion is averaged, and the samples that may be at least and most. */
const averageS = 5;
const fewest = 2;
const most = 16;
/** Excursions are not judged before so many layers' worth of samples, and the usual range remembers so many. */
const learningLayers = 8;
const memoryLayers = 10;
const guessLayers = 4;
/** Ranges from which an excursion is told: by itself, and in a layer that lasts longer than usual. Over below the third. */
const toldAlone = 8;
const toldOverdue = 2.5;
const usualRanges = 2;
/** A layer is overdue when it has lasted this share longer, and some samples. */
const overdueShare = 1.25;
const overdueSamples = 8;
/** No temperature is steadier than this, kelvin. */
const leastRange = 1e-3;

export function newHeat(): HeatState {
  return { samples: 0, level: NaN, slope: 0, fast: 0, usual: 0, left: undefined, told: undefined, serial: 0 };
}

/** After a gap the level begins afresh; what was told stays open no longer. */
export function interruptHeat(state: HeatState): void {
  state.level = NaN;
  state.slope = 0;
  state.fast = 0;
  state.left = undefined;
  state.told = undefined;
}

/** Takes the temperature of one row, kelvin, cycle off; `now` and `clock` may be reused. */
export function watchHeat(
  state: HeatState,
  cell: number,
  kelvin: number,
  now: Instant,
  clock: LayerClock,
  findings: CellFinding[],
): void {
  const overdue = clock.samples > overdueShare * clock.usualSamples + overdueSamples;
  // A place just beyond the usual end of a layer is not known yet; one far beyond it is the excursion.
  if (kelvin !== kelvin || !(clock.settled || overdue)) return;
  if (state.level !== state.level) state.level = kelvin;
  if (clock.known) state.samples++;
  const away = kelvin - state.level;
  const length = Math.max(fewest, Math.min(most, averageS / clock.intervalS));
  state.fast += (away - state.fast) / length;
  const size = Math.abs(state.fast);
  const range = Math.max(leastRange, state.usual);
  // A level that followed at once would hide a slow cooling.
  const follow = (overdue || state.told ? 0.1 : 0.5) / clock.usualSamples;
  const limit = state.samples > clock.usualSamples ? 4 * range : Infinity;
  const step = Math.max(-limit, Math.min(limit, away));
  state.level += state.slope + follow * step;
  // Warming up is a trend, a stop is none.
  state.slope = overdue || state.told ? 0 : state.slope + 0.25 * follow * follow * step;
  if (!clock.known) return;
  // What the first layers tell is a guess: the plate may still be warming up.
  const guessed = guessLayers * clock.usualSamples;
  const counted = state.samples > guessed + 1 ? state.samples - guessed : state.samples;
  const gain = 1 / Math.min(counted, memoryLayers * clock.usualSamples);
  const held = state.samples > clock.usualSamples ? Math.min(size, 3 * range) : size;
  state.usual = Math.sqrt(state.usual ** 2 + gain * (held * held - state.usual ** 2));
  if (size < usualRanges * range) {
    state.left = undefined;
    if (state.told) findings.push(ended(state.told, now));
    state.told = undefined;
    return;
  }
  state.left ??= { ...now };
  if (state.told || state.samples < learningLayers * clock.usualSamples) return;
  if (size < (overdue ? toldOverdue : toldAlone) * range) return;
  state.told = {
    what: 'heat',
    cell,
    knownRow: now.row,
    knownTimeS: now.timeS,
    ...state.left,
    channels: [],
    serial: ++state.serial,
    temperatureK: state.fast,
    usualK: range,
    overdue,
    endRow: -1,
    endTimeS: NaN,
  };
  findings.push(state.told);
}

function ended(told: HeatFinding, now: Instant): HeatFinding {
  return { ...told, knownRow: now.row, knownTimeS: now.timeS, endRow: now.row, endTimeS: now.timeS };
}
