// One cell's watch: rows of its strain channels and temperature come in, findings go out, in the order in which they
// became known. Causal, row by row, so the chunking cannot matter; sees this cell only. Strain dimensionless, times in
// seconds. The steps: health of each reading; cycle of the layer taken off; block tests; onset and size of what they
// find; a fresh start after it, so that the next change is seen too.
import type { LogHeader } from '../header/logHeader.ts';
import type { CellBlock } from '../strain/cellBlock.ts';
import type { CellLayout } from '../strain/layout.ts';
import type { StrainContext } from '../strain/strainContext.ts';
import type { RowBlock } from '../table/rowBlock.ts';
import { lookAll, looksPerSample, newBlockTests, raiseFloor, unlearn } from './blockTests.ts';
import type { BlockTestsState, Look } from './blockTests.ts';
import { neededSurprise } from './budget.ts';
import { cellFrame } from './cellFrame.ts';
import type { CellFrame } from './cellFrame.ts';
import { ChangeWatch } from './changeWatch.ts';
import type { ChangeWatchState } from './changeWatch.ts';
import {
  forgetLevels,
  forgetPlaces,
  justLearned,
  known,
  learnUnrest,
  markRestless,
  markedShare,
  nearPlaces,
  moveLevels,
  newCycle,
  placeOf,
  takeOff,
} from './cycle.ts';
import type { CycleState } from './cycle.ts';
import type { CellFinding } from './findings.ts';
import { nextReading, newHealth, turns } from './health.ts';
import type { HealthState } from './health.ts';
import { interruptHeat, newHeat, watchHeat } from './heatWatch.ts';
import type { HeatState, Instant } from './heatWatch.ts';
import { append, newHistory, restartAt, slot } from './history.ts';
import type { HistoryState } from './history.ts';
import { HealthWatch } from './healthWatch.ts';
import type { HealthWatchState } from './healthWatch.ts';
import { newPace, nextStep, stepKinds } from './pace.ts';
import type { PaceState } from './pace.ts';
import { copyPlain } from './plain.ts';
import { closeSpike, followSpikes, forgetSpikes, newSpikes, quietNoises } from './spikes.ts';
import type { SpikeState } from './spikes.ts';

/** Per row of the last block: the best look's surprise, and the surprise at which the cell alone cries. */
export interface WatchedStatistic {
  readonly statistic: Float64Array;
  readonly threshold: Float64Array;
}

export interface CellDetectorState {
  readonly pace: PaceState;
  readonly cycle: CycleState;
  readonly history: HistoryState;
  readonly health: HealthState[];
  readonly spikes: SpikeState;
  tests: BlockTestsState | undefined;
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
  findings: CellFinding[];
}

/** Rows from which noise is learned where the datum window tells none. */
const learningSamples = 16;
/** Memory of the noise estimates, in samples: a minute or two at one a second. */
const noiseMemory = 128;
/** Noise is learned from every so many samples. */
const noiseStride = 4;
/** A distance counts for no more than this many noises in them; normal noise then loses 2 % of its variance. */
const noiseClip = 3;
/** No noise is less: a thousandth of a microstrain and a hundredth of a millikelvin, below any instrument. */
const leastStrainNoise = 1e-9;
const leastTemperatureNoise = 1e-5;
/** How many layers and places apart two confirmed changes are taken to be the same part of the cycle. */
const recurringLayers = 3;
const recurringPlaces = 8;
/** Surprise from which a change is worth telling to the plate stage: one look in a thousand. */
export const suspectSurprise = -Math.log(1e-3);
/** Visits from which a place's usual temperature is known. */
const settledVisits = 12;
/** A gap in one channel up to so many rows is bridged by the difference across it. */
const bridgedRows = 3;

export class CellDetector {
  readonly #frame: CellFrame;
  readonly #header: LogHeader;
  readonly #changes: ChangeWatch;
  readonly #health: HealthWatch;
  readonly #step: Float64Array;
  readonly #excess: Float64Array;
  readonly #best: Look = { shape: -1, surprise: 0 };
  /** Sum of squared distances of one sample from which on it stirs: the upper tenth of chi-square, about. */
  readonly #stirLimit: number;
  #state: CellDetectorState;
  #watched: WatchedStatistic | undefined;
  /** Interval for which the needed surprise was last computed, and that surprise. */
  #neededFor = NaN;
  #neededThen = NaN;

  constructor(header: LogHeader, layout: CellLayout, context: StrainContext) {
    this.#header = header;
    this.#frame = cellFrame(header, layout, context);
    this.#changes = new ChangeWatch(this.#frame);
    this.#health = new HealthWatch(this.#frame);
    this.#step = new Float64Array(this.#frame.dimension);
    this.#excess = new Float64Array(this.#frame.dimension);
    const tested = this.#frame.channels.length;
    this.#stirLimit = tested + 1.3 * Math.sqrt(2 * tested);
    this.#state = newState(header, this.#frame);
  }

  static restore(
    header: LogHeader,
    layout: CellLayout,
    context: StrainContext,
    saved: CellDetectorState,
  ): CellDetector {
    const detector = new CellDetector(header, layout, context);
    detector.#state = copyPlain(saved);
    return detector;
  }

  save(): CellDetectorState {
    return copyPlain(this.#state);
  }

  /** Findings since the last call, by `knownRow`. */
  take(): CellFinding[] {
    const taken = this.#state.findings;
    this.#state.findings = [];
    return taken;
  }

  /** From now on the statistic of each row of a block is kept for drawing, in arrays that are reused. */
  watch(capacity: number): WatchedStatistic {
    this.#watched ??= { statistic: new Float64Array(capacity), threshold: new Float64Array(capacity) };
    return this.#watched;
  }

  /** Nothing is held back for the end of the log: what is open stays open. */
  finish(): void {}

  push(cell: CellBlock, rows: RowBlock): void {
    const frame = this.#frame;
    if (frame.channels.length === 0) return;
    const { roles } = this.#header;
    const time = rows.columns[roles.time];
    const layers = rows.columns[roles.layer];
    const phases = rows.columns[roles.phase];
    const values = cell.rosettes.flatMap((r) => r.strain);
    const readings = frame.columns.map((c) => rows.columns[c]!);
    if (frame.first) {
      values.unshift(cell.temperatureChange);
      readings.unshift(rows.columns[frame.temperatureColumn]!);
    }
    for (let i = 0; i < rows.rows; i++) {
      const row = rows.firstRow + i;
      const timeS = time ? time[i]! : row;
      const layer = layers ? layers[i]! : NaN;
      const phase = phases ? phases[i]! : NaN;
      this.#best.shape = -1;
      this.#row(i, row, rows.lines[i]!, timeS, layer, phase, readings, values);
      if (this.#watched) this.#keepStatistic(this.#watched, i);
    }
  }

  #row(
    i: number,
    row: number,
    line: number,
    timeS: number,
    layer: number,
    phase: number,
    readings: readonly Float64Array[],
    values: readonly Float64Array[],
  ): void {
    const state = this.#state;
    const { first, dimension } = this.#frame;
    const { health, value, flat, history, cycle, pace } = state;
    const step = this.#step;
    const kind = nextStep(pace, timeS);
    if (kind !== stepKinds.usual) this.#interrupt(kind === stepKinds.newRate);
    let present = 0;
    let turned = false;
    for (let j = 0; j < dimension; j++) {
      const h = health[j]!;
      const missingBefore = h.missing;
      const turn = nextReading(h, readings[j]![i]!);
      if (turn !== turns.none) {
        this.#health.note(state.sick, j - first, turn, h);
        turned = true;
      }
      const x = values[j]![i]!;
      if (x === x && !h.stuck) {
        step[j] = x;
        value[j] = x;
        if (turn === turns.freed || missingBefore > bridgedRows) flat[j] = NaN;
        if (j >= first) present++;
      } else {
        step[j] = NaN;
        if (h.stuck) flat[j] = NaN;
      }
    }
    if (turned) this.#health.tell(state.sick, state.findings, row, line, timeS, layer, pace.intervalS);
    if (present === 0) return;
    state.samples++;
    const place = placeOf(cycle, timeS, layer, phase, pace.intervalS);
    if (place >= 0) takeOff(cycle, place, pace.intervalS, step);
    if (first) this.#heat(place, step[0]!, { row, line, timeS, layer });
    for (let j = 0; j < dimension; j++) {
      const x = step[j]!;
      if (x !== x) continue;
      step[j] = x - flat[j]!;
      flat[j] = x;
    }
    if (place >= 0 && justLearned(cycle)) this.#beginAfresh();
    const at = slot(history.count + 1);
    history.row[at] = row;
    history.line[at] = line;
    history.timeS[at] = timeS;
    history.layer[at] = layer;
    history.phase[at] = phase;
    append(history, step, state.noise, this.#excess);
    this.#learnNoise();
    if (!state.tests) this.#begin();
    else this.#look(place);
  }

  /** Makes the tests as soon as the noise is known. */
  #begin(): void {
    const state = this.#state;
    const { noise } = this.#frame;
    const told = noise.every((n) => n > 0);
    if (!told && state.samples < learningSamples) return;
    state.tests = newBlockTests(state.noise, this.#frame.first);
  }

  #learnNoise(): void {
    const { noise, samples, tests } = this.#state;
    const learned = tests !== undefined || samples >= noiseMemory;
    if (learned && samples % noiseStride !== 0) return;
    const gain = learned ? (0.5 * noiseStride) / noiseMemory : 0.5 / (samples + 1);
    const step = this.#step;
    const excess = this.#excess;
    for (let j = 0; j < noise.length; j++) {
      if (step[j] !== step[j]) continue;
      const e = excess[j]!;
      const square = e < noiseClip && e > -noiseClip ? e * e : noiseClip * noiseClip;
      const grown = noise[j]! * (1 + gain * (square - 1));
      const floor = this.#leastNoise(j);
      noise[j] = grown > floor ? grown : floor;
      if (tests) raiseFloor(tests, j, floor);
    }
  }

  /** No noise is less than that of rounding to the readings' resolution. */
  #leastNoise(j: number): number {
    const least = j < this.#frame.first ? leastTemperatureNoise : leastStrainNoise;
    const resolution = this.#state.health[j]!.quantum * this.#frame.perUnit[j]! * resolutionNoise;
    return resolution > least && resolution < Infinity ? resolution : least;
  }

  #look(place: number): void {
    const state = this.#state;
    const { history, spikes, watch, cycle } = state;
    const tests = state.tests!;
    const excess = this.#excess;
    let wild = spikes.away > 0;
    let stir = 0;
    for (let j = this.#frame.first; j < excess.length; j++) {
      const e = excess[j]!;
      stir += e * e;
      if (e > quietNoises || e < -quietNoises) wild = true;
    }
    if (wild) this.#spikes();
    const best = this.#best;
    const stirred = stir > this.#stirLimit;
    lookAll(tests, history, cycle, place, suspectSurprise, stirred, best);
    const { intervalS } = state.pace;
    const recurs = best.shape >= 0 && this.#recurs(place);
    const suspicious = best.shape >= 0 && !recurs;
    const { shortRatio, longRatio } = tests;
    if (shortRatio === shortRatio) learnUnrest(cycle, place, 0, shortRatio, intervalS, suspicious);
    if (longRatio === longRatio) learnUnrest(cycle, place, 1, longRatio, intervalS, suspicious);
    if (recurs) return;
    if (!suspicious && !(watch.confirmed && watch.confirmed.again > 0)) return;
    const split = this.#changes.next(watch, tests, history, state.value, {
      look: best,
      needed: this.#needed(),
      placeKnown: known(cycle, place),
      intervalS: intervalS > 0 ? intervalS : 1,
      health: state.health,
      findings: state.findings,
    });
    if (split <= 0) return;
    markRestless(cycle, place);
    state.confirmedPlace = place;
    state.confirmedLayer = cycle.layers;
    moveLevels(cycle, watch.shift);
    restartAt(history, split + 1);
    // What left the level did not come back: the level moved.
    forgetSpikes(spikes);
  }

  /**
   * A change at the place of the layer where one was told a layer or a few ago is the cycle, not yet learned there: it is
   * left to be learned. (Breaks do not keep to the timetable.)
   */
  #recurs(place: number): boolean {
    const state = this.#state;
    const ago = state.cycle.layers - state.confirmedLayer;
    if (place < 0 || state.confirmedPlace < 0 || ago < 1 || ago > recurringLayers) return false;
    if (Math.abs(place - state.confirmedPlace) > Math.min(recurringPlaces, nearPlaces(state.cycle, markedShare)))
      return false;
    if (state.cycle.samples > 0) state.confirmedLayer = state.cycle.layers - 1;
    return true;
  }

  /** A row whose looks were all unsurprising counts as 0; before the tests are made there is none. */
  #keepStatistic({ statistic, threshold }: WatchedStatistic, i: number): void {
    const judged = this.#state.tests !== undefined;
    statistic[i] = !judged ? NaN : this.#best.shape >= 0 ? this.#best.surprise : 0;
    threshold[i] = judged ? this.#needed() : NaN;
  }

  #needed(): number {
    const { intervalS } = this.#state.pace;
    if (intervalS === this.#neededFor) return this.#neededThen;
    this.#neededFor = intervalS;
    this.#neededThen = this.#neededAt(intervalS);
    return this.#neededThen;
  }

  #neededAt(intervalS: number): number {
    const { detection, cells } = this.#header;
    const perSecond = (cells.length * looksPerSample) / (intervalS > 0 ? intervalS : 1);
    return neededSurprise(detection.falseAlarmHours, perSecond, 'alone');
  }

  #spikes(): void {
    const state = this.#state;
    const { spikes, history, noise } = state;
    const { first, channels, cell } = this.#frame;
    const ended = followSpikes(spikes, this.#excess, first, state.samples);
    if (!ended) return;
    const since = Math.min(...ended.map((j) => spikes.since[j]!));
    const began = Math.max(1, history.count - (state.samples - since));
    const from = slot(began);
    const now = slot(history.count);
    const strongest = ended.reduce((a, b) => (Math.abs(spikes.peak[b]!) > Math.abs(spikes.peak[a]!) ? b : a));
    state.findings.push({
      what: 'spike',
      cell,
      knownRow: history.row[now]!,
      knownTimeS: history.timeS[now]!,
      row: history.row[from]!,
      line: history.line[from]!,
      timeS: history.timeS[from]!,
      layer: history.layer[from]!,
      channels: ended.map((j) => channels[j - first]!),
      endRow: history.row[now]!,
      endTimeS: history.timeS[now]!,
      samples: state.samples - since,
      size: spikes.peak[strongest]! * noise[strongest]!,
      sigmas: Math.abs(spikes.peak[strongest]!),
    });
    for (const j of ended) closeSpike(spikes, j);
  }

  #heat(place: number, kelvin: number, now: Instant): void {
    const { cycle, pace, heat, findings } = this.#state;
    const { samples, usualSamples } = cycle;
    const clock = {
      samples,
      usualSamples,
      known: known(cycle, place),
      settled: place < 0 || cycle.visits[place]! >= settledVisits,
      intervalS: pace.intervalS > 0 ? pace.intervalS : 1,
    };
    watchHeat(heat, this.#frame.cell, kelvin, now, clock, findings);
  }

  /** The first layers taught the cycle; what was learned of noise beside it is worth little. */
  #beginAfresh(): void {
    const state = this.#state;
    restartAt(state.history, state.history.count + 1);
    this.#changes.interrupt(state.watch);
    if (state.tests) unlearn(state.tests);
  }

  /** After a gap, a clock set back or a new rate, what came before is no longer a yardstick. */
  #interrupt(newRate: boolean): void {
    const state = this.#state;
    state.value.fill(NaN);
    state.flat.fill(NaN);
    forgetLevels(state.cycle);
    interruptHeat(state.heat);
    restartAt(state.history, state.history.count + 1);
    this.#changes.interrupt(state.watch);
    if (!newRate) return;
    forgetPlaces(state.cycle);
    if (state.tests) unlearn(state.tests);
  }
}

/** Standard deviation of rounding to a step of one (uniform law). */
const resolutionNoise = 1 / Math.sqrt(12);

function newState(header: LogHeader, frame: CellFrame): CellDetectorState {
  const { dimension } = frame;
  const phases = header.roles.layer < 0 ? 0 : header.roles.phase < 0 ? 1 : 4;
  const starting = frame.noise.map((n, j) => (n > 0 ? n : j < frame.first ? leastTemperatureNoise : leastStrainNoise));
  return {
    pace: newPace(),
    cycle: newCycle(phases, dimension, Float64Array.from(starting)),
    history: newHistory(dimension),
    health: Array.from({ length: dimension }, newHealth),
    spikes: newSpikes(dimension),
    tests: undefined,
    value: new Float64Array(dimension).fill(NaN),
    flat: new Float64Array(dimension).fill(NaN),
    noise: Float64Array.from(starting),
    samples: 0,
    watch: ChangeWatch.newState(),
    confirmedPlace: -1,
    confirmedLayer: -1,
    sick: HealthWatch.newState(),
    heat: newHeat(),
    findings: [],
  };
}
