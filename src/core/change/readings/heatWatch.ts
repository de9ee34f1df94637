// One cell's temperature: kelvin per row with the layer's cycle off come in, unusual excursions go out as findings, at
// their onset and again at their end. The excursion is a short exponential mean of the distance from a slowly followed
// level and trend (Roberts 1959, Holt 1957), measured by its own usual range, which is learned with wild values held at three (Huber 1964).
// A layer that lasts longer than usual is a witness of its own (the laser has stopped): less then suffices.
import type { CellFinding, HeatFinding } from '../findings.ts';

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
  /** What has been told and not ended, and how far it has gone since: kelvin. */
  told: HeatFinding | undefined;
  farthestK: number;
  serial: number;
}

export interface Instant {
  readonly row: number;
  readonly line: number;
  readonly timeS: number;
  readonly layer: number;
}

/** Where something stands in the log, and nothing else of it. */
export function instantIn({ row, line, timeS, layer }: Instant): Instant {
  return { row, line, timeS, layer };
}

/** Tells where row `row` of the block stands in the log. */
export interface Whereabouts {
  at(row: number): Instant;
}

/** What a span of rows of one layer is for the thermometer; arrays by row. Reused by the caller. */
export interface HeatRows {
  rows: number;
  /** Temperature with the cycle off, kelvin; NaN where missing. */
  readonly kelvin: Float64Array;
  readonly intervalS: Float64Array;
  /** Layers that have visited the row's place, where it has one. */
  readonly visits: Float64Array;
  placed: boolean;
  /** Samples of this layer at the first row, and usually; the latter where there are no layers is a fixed memory. */
  samples: number;
  usualSamples: number;
  /** Samples beyond which the layer lasts longer than usual. */
  overdueFrom: number;
  /** Row from which on the cycle is known. */
  knownFrom: number;
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
/** No temperature is steadier than this, kelvin. */
const leastRange = 1e-3;
/** Layers that have visited a place from which on its usual temperature is known. */
const settledVisits = 12;

export function newHeat(): HeatState {
  return {
    samples: 0,
    level: NaN,
    slope: 0,
    fast: 0,
    usual: 0,
    left: undefined,
    told: undefined,
    // Means nothing before something is told; the broken number makes a field for such.
    farthestK: 0.5,
    serial: 0,
  };
}

/** After a gap the level begins afresh; what was told stays open no longer. */
export function interruptHeat(state: HeatState): void {
  state.level = NaN;
  state.slope = 0;
  state.fast = 0;
  state.left = undefined;
  state.told = undefined;
}

/**
 * Takes the temperature of some rows that stand at `from` and after in their block. The loop hands no number to what is
 * not inlined: each would be put on the heap. What is rarely done is done by `judge`, from the state.
 */
export function watchHeat(
  state: HeatState,
  cell: number,
  span: HeatRows,
  stand: Whereabouts,
  from: number,
  findings: CellFinding[],
): void {
  const { rows, kelvin, intervalS, visits, placed, usualSamples, overdueFrom, knownFrom } = span;
  let { samples, level, slope, fast, usual } = state;
  const begun = span.samples;
  for (let k = 0; k < rows; k++) {
    const x = kelvin[k]!;
    const overdue = begun + k > overdueFrom;
    // A place just beyond the usual end of a layer is not known yet; one far beyond it is the excursion.
    if (x !== x || (placed && visits[k]! < settledVisits && !overdue)) continue;
    if (level !== level) level = x;
    if (k >= knownFrom) samples++;
    const away = x - level;
    const length = averageS / intervalS[k]!;
    fast += (away - fast) / (length > most ? most : length > fewest ? length : fewest);
    const size = Math.abs(fast);
    const range = Math.max(usual, leastRange);
    const unusual = overdue || state.told !== undefined;
    // A level that followed at once would hide a slow cooling.
    const follow = (unusual ? 0.1 : 0.5) / usualSamples;
    const ranged = samples > usualSamples;
    const limit = ranged ? 4 * range : Infinity;
    const step = away > limit ? limit : away < -limit ? -limit : away;
    level += slope + follow * step;
    // Warming up is a trend, a stop is none.
    slope = unusual ? 0 : slope + 0.25 * follow * follow * step;
    if (k < knownFrom) continue;
    // What the first layers tell is a guess: the plate may still be warming up.
    const guessed = guessLayers * usualSamples;
    const counted = samples > guessed + 1 ? samples - guessed : samples;
    const memory = memoryLayers * usualSamples;
    const held = ranged && size > 3 * range ? 3 * range : size;
    usual = Math.sqrt(usual * usual + (held * held - usual * usual) / (counted < memory ? counted : memory));
    if (size < usualRanges * range && state.left === undefined && state.told === undefined) continue;
    state.samples = samples;
    state.fast = fast;
    excursion.range = range;
    excursion.overdue = overdue;
    judge(state, cell, usualSamples, stand, from + k, findings);
  }
  state.samples = samples;
  state.level = level;
  state.slope = slope;
  state.fast = fast;
  state.usual = usual;
}

/** The row at hand: usual range before it, and whether the layer is overdue. */
const excursion = { range: 0.5, overdue: false };

/** Sees to a temperature beyond its usual range, or back in it, by row `i` of the block. */
function judge(
  state: HeatState,
  cell: number,
  usualSamples: number,
  stand: Whereabouts,
  i: number,
  findings: CellFinding[],
): void {
  const { range, overdue } = excursion;
  const { fast } = state;
  const size = Math.abs(fast);
  if (size < usualRanges * range) {
    state.left = undefined;
    if (state.told) findings.push(ended({ ...state.told, temperatureK: state.farthestK }, stand.at(i)));
    state.told = undefined;
    return;
  }
  state.left ??= stand.at(i);
  if (state.told) {
    goOn(state, state.told, stand, i, findings);
    return;
  }
  if (state.samples < learningLayers * usualSamples) return;
  if (size < (overdue ? toldOverdue : toldAlone) * range) return;
  state.farthestK = fast;
  state.told = told(cell, stand.at(i), state.left, ++state.serial, fast, range, overdue);
  findings.push(state.told);
}

/** An excursion that goes on is told again when it has grown by this share. */
const growth = 1.25;

/** An excursion is first told when it has hardly begun: how far it goes is told as it goes. */
function goOn(state: HeatState, before: HeatFinding, stand: Whereabouts, i: number, findings: CellFinding[]): void {
  const { fast } = state;
  if (Math.abs(fast) > Math.abs(state.farthestK)) state.farthestK = fast;
  if (Math.abs(fast) < growth * Math.abs(before.temperatureK)) return;
  const now = stand.at(i);
  state.told = { ...before, knownRow: now.row, knownTimeS: now.timeS, temperatureK: fast };
  findings.push(state.told);
}

function told(
  cell: number,
  now: Instant,
  onset: Instant,
  serial: number,
  temperatureK: number,
  usualK: number,
  overdue: boolean,
): HeatFinding {
  return {
    what: 'heat',
    cell,
    knownRow: now.row,
    knownTimeS: now.timeS,
    ...onset,
    channels: [],
    serial,
    temperatureK,
    usualK,
    overdue,
    endRow: -1,
    endTimeS: NaN,
  };
}

function ended(told: HeatFinding, now: Instant): HeatFinding {
  return { ...told, knownRow: now.row, knownTimeS: now.timeS, endRow: now.row, endTimeS: now.timeS };
}
