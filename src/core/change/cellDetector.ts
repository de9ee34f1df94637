// One cell's watch: rows of its strain channels and temperature come in, findings go out, in the order in which they
// became known. Causal, row by row, so the chunking cannot matter; sees this cell only. Strain dimensionless, times in
// seconds. The steps: health of each reading; cycle of the layer taken off; block tests; onset and size of what they
// find; a fresh start after it, so that the next change is seen too.
import type { LogHeader } from '../header/logHeader.ts';
import type { CellBlock } from '../strain/cellBlock.ts';
import type { CellLayout } from '../strain/layout.ts';
import type { StrainContext } from '../strain/strainContext.ts';
import type { RowBlock } from '../table/rowBlock.ts';
import { looksPerSample } from './blockShapes.ts';
import { forgetRecent, lookAll, looksAt, newBlockTests, noteLacking, raiseFloor, unlearn } from './blockTests.ts';
import type { BlockTestsState, Look, LookTools } from './blockTests.ts';
import { neededSurprise } from './budget.ts';
import { leastNoise, newCellDetectorState } from './cellDetectorState.ts';
import type { CellDetectorState } from './cellDetectorState.ts';
import { cellFrame } from './cellFrame.ts';
import type { CellFrame } from './cellFrame.ts';
import { ChangeWatch } from './changeWatch.ts';
import {
  forgetLevels,
  forgetPlaces,
  justLearned,
  known,
  learnUnrest,
  markRestless,
  markedShare,
  moveLevels,
  nearPlaces,
  outOfRhythm,
  placeOf,
  placesAhead,
  goOn,
  rowsUntilKnown,
  visit,
} from './cycle.ts';
import type { Clocks } from './cycle.ts';
import type { CellFinding } from './findings.ts';
import { followComponent, keepFollowed, rememberPlaces, restorePlaces } from './followComponent.ts';
import { isThere, nextReading, resolved, turns } from './health.ts';
import { HealthWatch } from './healthWatch.ts';
import { interruptHeat, watchHeat } from './heatWatch.ts';
import type { HeatRows, Instant } from './heatWatch.ts';
import { restartAt, slot } from './history.ts';
import type { HistoryState } from './history.ts';
import { nextStep, steadyRows, stepKinds, takeSteady } from './pace.ts';
import { copyPlain } from './plain.ts';
import { newQuietRun, quietRows, takeQuiet } from './quietReadings.ts';
import type { QuietRun } from './quietReadings.ts';
import { longestSpan, newSpan } from './span.ts';
import type { Span } from './span.ts';
import { closeSpike, followSpikes, forgetSpikes, quietNoises } from './spikes.ts';

/** The columns of one block that a cell is watched by; readings and values by component. */
interface Columns extends Clocks {
  readonly rows: RowBlock;
  readonly readings: readonly Float64Array[];
  readonly values: readonly Float64Array[];
}

/** Per row of the last block: the best look's surprise, and the surprise at which the cell alone cries. */
export interface WatchedStatistic {
  readonly statistic: Float64Array;
  readonly threshold: Float64Array;
}

/** Rows from which noise is learned where the datum window tells none. */
const learningSamples = 16;
/** Memory of the noise estimates, in samples: a minute or two at one a second. */
const noiseMemory = 128;
/** Noise is learned from every so many samples. */
const noiseStride = 4;
/** How many layers and places apart two confirmed changes are taken to be the same part of the cycle. */
const recurringLayers = 3;
const recurringPlaces = 8;
/** Surprise from which a change is worth telling to the plate stage: one look in a thousand. */
export const suspectSurprise = -Math.log(1e-3);
/** Rows for which a channel found sick is left out at most. */
const longestHeldOut = 8192;
/** A gap in one channel up to so many rows is bridged by the difference across it. */
const bridgedRows = 3;
/** A longer one leaves the blocks before without it. */
const longGap = 16;

export class CellDetector {
  readonly #frame: CellFrame;
  readonly #header: LogHeader;
  readonly #changes: ChangeWatch;
  readonly #health: HealthWatch;
  readonly #span: Span;
  /** Those of the first row of a span. */
  readonly #firstExcess: Float64Array;
  /** Values of one row that is taken by itself, NaN for those not to be believed; one array a component. */
  readonly #alone: readonly Float64Array[];
  /** What the rows at hand make of each component's health. */
  readonly #quiet: readonly QuietRun[];
  /** The least noise of one sample per component. */
  readonly #leastNoise: Float64Array;
  /** The least noise has become known, and the tests not told. */
  #isRated = true;
  readonly #heatRows: HeatRows;
  readonly #best: Look = { shape: -1, surprise: 0 };
  #tools: LookTools;
  /** Sum of squared distances of one sample from which on it stirs: the upper tenth of chi-square, about. */
  readonly #stirLimit: number;
  #state: CellDetectorState;
  #watched: WatchedStatistic | undefined;
  /** Samples of the history before the span. */
  #begun = 0;
  /** Interval for which the needed surprise was last computed, and that surprise. */
  #neededFor = NaN;
  #neededThen = NaN;

  constructor(header: LogHeader, layout: CellLayout, context: StrainContext) {
    this.#header = header;
    this.#frame = cellFrame(header, layout, context);
    this.#changes = new ChangeWatch(this.#frame);
    this.#health = new HealthWatch(this.#frame);
    const { dimension } = this.#frame;
    const span = newSpan(dimension);
    this.#span = span;
    this.#heatRows = { ...span, rows: 0, placed: false, samples: 0, usualSamples: 0, knownFrom: 0 };
    this.#firstExcess = this.#span.excess.subarray(0, dimension);
    this.#alone = Array.from({ length: dimension }, () => new Float64Array(1));
    this.#quiet = Array.from({ length: dimension }, newQuietRun);
    this.#leastNoise = new Float64Array(dimension);
    const tested = this.#frame.channels.length;
    this.#stirLimit = tested + 1.3 * Math.sqrt(2 * tested);
    this.#state = newCellDetectorState(header, this.#frame);
    this.#tools = this.#newTools();
    this.#rateNoise();
  }

  static restore(
    header: LogHeader,
    layout: CellLayout,
    context: StrainContext,
    saved: CellDetectorState,
  ): CellDetector {
    const detector = new CellDetector(header, layout, context);
    detector.#state = copyPlain(saved);
    detector.#tools = detector.#newTools();
    detector.#rateNoise();
    return detector;
  }

  #newTools(): LookTools {
    const { cycle } = this.#state;
    const work = new Float64Array(this.#frame.dimension + 1);
    return { cycle, place: -1, tell: suspectSurprise, best: this.#best, work };
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
    if (this.#frame.channels.length === 0) return;
    const columns = this.#columnsOf(cell, rows);
    for (let i = 0; i < rows.rows;) i += this.#advance(columns, i);
  }

  #columnsOf(cell: CellBlock, rows: RowBlock): Columns {
    const { roles } = this.#header;
    const { first, columns, temperatureColumn } = this.#frame;
    const values = cell.rosettes.flatMap((r) => r.strain);
    const readings = columns.map((c) => rows.columns[c]!);
    if (first) {
      values.unshift(cell.temperatureChange);
      readings.unshift(rows.columns[temperatureColumn]!);
    }
    return {
      rows,
      time: rows.columns[roles.time],
      layers: rows.columns[roles.layer],
      phases: rows.columns[roles.phase],
      readings,
      values,
    };
  }

  /** Takes the rows from `i` on that can be taken in one; answers with their number, 1 or more. */
  #advance(columns: Columns, i: number): number {
    const state = this.#state;
    const { pace, cycle } = state;
    const row = columns.rows.firstRow + i;
    const timeS = columns.time ? columns.time[i]! : row;
    this.#best.shape = -1;
    const kind = nextStep(pace, timeS);
    if (kind !== stepKinds.usual) this.#interrupt(kind === stepKinds.newRate);
    const most = this.#isCalm() ? Math.min(columns.rows.rows - i, longestSpan) : 1;
    const quiet = this.#quietRows(columns, i, most);
    if (quiet === 0 && !this.#takeReadings(columns, i)) {
      if (this.#watched) this.#keepStatistic(this.#watched, i, pace.intervalS);
      return 1;
    }
    const layer = columns.layers ? columns.layers[i]! : NaN;
    const phase = columns.phases ? columns.phases[i]! : NaN;
    const place = placeOf(cycle, timeS, layer, phase, pace.intervalS);
    const count = this.#plan(columns, i, quiet > 1 ? quiet : 1, place);
    if (place >= 0 && justLearned(cycle)) this.#beginAfresh();
    return this.#walk(columns, i, count, place >= 0, quiet > 0);
  }

  /** Nothing is under way that needs to be seen to row by row. */
  #isCalm(): boolean {
    const { tests, spikes, watch } = this.#state;
    return tests !== undefined && spikes.away === 0 && !(watch.confirmed && watch.confirmed.again > 0);
  }

  /** Rows from `i` on, at most `most`, in which no reading of the cell turns and at least one fibre is read. */
  #quietRows({ readings, values }: Columns, i: number, most: number): number {
    const { health } = this.#state;
    const { first } = this.#frame;
    let count = most;
    let read = false;
    for (let j = 0; j < readings.length; j++) {
      const column = values[j]!;
      count = quietRows(health[j]!, readings[j]!, column, i, i + count, this.#quiet[j]!);
      if (count === 0) return 0;
      if (j >= first && column[i] === column[i]) read = true;
    }
    return read ? count : 0;
  }

  /** Takes the readings of one row one by one; false where no fibre has one that can be believed. */
  #takeReadings(columns: Columns, i: number): boolean {
    const { readings, values } = columns;
    const { health, flat, sick, findings, pace, cycle, tests, samples } = this.#state;
    const { first, dimension } = this.#frame;
    let read = false;
    let lacking = false;
    let returned = false;
    let turned = false;
    let rated = false;
    for (let j = 0; j < dimension; j++) {
      const h = health[j]!;
      const { missing, quantum } = h;
      const wasResolved = resolved(h);
      const turn = nextReading(h, readings[j]![i]!);
      if (h.quantum !== quantum || resolved(h) !== wasResolved) rated = true;
      if (turn !== turns.none) {
        this.#health.note(sick, j - first, turn, h);
        turned = true;
      }
      const x = values[j]![i]!;
      const believed = x === x && !h.stuck && h.heldOut === 0;
      this.#alone[j]![0] = believed ? x : NaN;
      if (believed && samples > 0 && (flat[j] !== flat[j] || missing > bridgedRows)) {
        // Come back after a while: where it stands now is its new level.
        cycle.level[j] = NaN;
        if (missing === 0 || missing > longGap) returned = true;
      }
      if (!isThere(h)) lacking = true;
      if (h.heldOut > 0) {
        h.heldOut--;
        flat[j] = NaN;
      }
      if (h.stuck || (believed && (turn === turns.freed || missing > bridgedRows))) flat[j] = NaN;
      if (believed && j >= first) read = true;
    }
    if (rated) this.#rateNoise();
    if (returned) this.#beginBlocks();
    if (tests && (lacking || tests.lacking > 0)) noteLacking(tests, health);
    if (turned) {
      const { row, line, timeS, layer } = instantOf(columns, i);
      this.#health.tell(sick, findings, row, line, timeS, layer, pace.intervalS);
    }
    return read;
  }

  /** Works out what the rows of a span need beforehand; cuts the span where time or layer do not simply go on. */
  #plan(columns: Columns, i: number, most: number, place: number): number {
    const { pace, cycle, samples, tests } = this.#state;
    const span = this.#span;
    const { intervalS, noiseGain } = span;
    let count = columns.time ? steadyRows(pace, columns.time, i, most, intervalS) : 1;
    intervalS[0] = pace.intervalS;
    if (place >= 0) count = placesAhead(cycle, columns, i, count, place, intervalS, span);
    else if (cycle.phases > 0) count = 1;
    for (let k = 0; k < count; k++) {
      const sample = samples + k + 1;
      const learned = tests !== undefined || sample >= noiseMemory;
      if (!learned) noiseGain[k] = 0.5 / (sample + 1);
      else noiseGain[k] = sample % noiseStride === 0 ? (0.5 * noiseStride) / noiseMemory : 0;
    }
    return count;
  }

  /**
   * Walks the rows of a span: first every component through all of them, then row by row what needs all components. A row
   * that has something to tell ends the span: the components are then walked again, up to that row only.
   */
  #walk(columns: Columns, i: number, most: number, placed: boolean, quiet: boolean): number {
    const state = this.#state;
    const { history, watch } = state;
    const span = this.#span;
    const values = quiet ? columns.values : this.#alone;
    const from = quiet ? i : 0;
    this.#begun = history.count;
    if (placed && most > 1) rememberPlaces(state.cycle, span, most);
    this.#follow(values, from, most, placed);
    const tame = this.#tameRows(most);
    let count = tame > 0 ? tame : 1;
    if (count < most) this.#followAgain(values, from, count, most, placed);
    const alone = count === 1;
    noteRows(history, columns, i, count);
    state.samples += count;
    if (alone) this.#keepRows(columns, i, 1, placed);
    let told = false;
    for (let k = 0; k < count; k++) {
      if (placed) visit(state.cycle, span, k);
      history.count++;
      if (!state.tests) this.#begin();
      else {
        if (this.#isRated && span.noiseGain[k]! > 0) this.#raiseNoise(state.tests);
        if (tame === 0) this.#spikes();
        told =
          this.#look(placed ? span.place[k]! : -1, k) || (watch.confirmed !== undefined && watch.confirmed.again > 0);
        if (told && k + 1 < count) {
          state.samples -= count - k - 1;
          count = k + 1;
          this.#followAgain(values, from, count, most, placed);
        }
      }
      if (this.#watched) this.#keepStatistic(this.#watched, i + k, span.intervalS[k]!);
    }
    if (!alone) this.#keepRows(columns, i, count, placed);
    if (quiet) this.#takeQuiet(columns, i, count);
    if (told) this.#attend(placed ? span.place[count - 1]! : -1);
    return count;
  }

  /** The rows stay: what the span has come to is kept, time and layer go on, the thermometer is read. */
  #keepRows(columns: Columns, i: number, count: number, placed: boolean): void {
    const { pace, cycle } = this.#state;
    const span = this.#span;
    keepFollowed(this.#state, span);
    if (count > 1) {
      takeSteady(pace, count - 1, columns.time![i + count - 1]!, span.intervalS[count - 1]!);
      if (placed) goOn(cycle, span, count - 1);
    }
    if (this.#frame.first) this.#heat(columns, i, count, placed);
  }

  #follow(values: readonly Float64Array[], from: number, rows: number, placed: boolean): void {
    const { dimension } = this.#frame;
    const least = this.#leastNoise;
    for (let j = 0; j < dimension; j++) {
      followComponent(this.#state, j, this.#begun, values[j]!, from, rows, placed, least, this.#span);
    }
  }

  /** Walks the components again, through fewer rows than the `most` that they have gone. */
  #followAgain(values: readonly Float64Array[], from: number, rows: number, most: number, placed: boolean): void {
    if (placed) restorePlaces(this.#state.cycle, this.#span, most);
    this.#follow(values, from, rows, placed);
  }

  #takeQuiet({ readings, values }: Columns, i: number, count: number): void {
    const { health } = this.#state;
    for (let j = 0; j < readings.length; j++) {
      takeQuiet(health[j]!, readings[j]!, values[j]!, i, count, this.#quiet[j]!);
    }
  }

  /** How much each row stirs; answers with the rows before the first wild one, which is walked alone. */
  #tameRows(rows: number): number {
    const { first, dimension } = this.#frame;
    const { excess, stir } = this.#span;
    let wild = this.#state.spikes.away > 0;
    for (let k = 0; k < rows; k++) {
      let sum = 0;
      for (let at = k * dimension + first; at < (k + 1) * dimension; at++) {
        const e = excess[at]!;
        sum += e * e;
        if (e > quietNoises || e < -quietNoises) wild = true;
      }
      stir[k] = sum;
      if (wild) return k;
    }
    return rows;
  }

  /** Makes the tests as soon as the noise is known. */
  #begin(): void {
    const state = this.#state;
    const { noise } = this.#frame;
    const told = noise.every((n) => n > 0);
    if (!told && state.samples < learningSamples) return;
    state.tests = newBlockTests(state.noise, this.#frame.first);
  }

  #rateNoise(): void {
    const { health } = this.#state;
    for (let j = 0; j < health.length; j++) this.#leastNoise[j] = leastNoise(this.#frame, health, j);
    this.#isRated = true;
  }

  /** The readings' resolution has come to light: no noise is less than that of rounding. */
  #raiseNoise(tests: BlockTestsState): void {
    for (let j = 0; j < this.#leastNoise.length; j++) raiseFloor(tests, j, this.#leastNoise[j]!);
    this.#isRated = false;
  }

  /** Looks at the tests with one more sample; true where a look is worth attention. */
  #look(place: number, k: number): boolean {
    const { tests, history } = this.#state;
    const stirred = this.#span.stir[k]! > this.#stirLimit;
    if (!looksAt(history.count, stirred)) return false;
    this.#tools.place = place;
    lookAll(tests!, history, this.#tools, stirred);
    if (this.#best.shape >= 0) return true;
    this.#learnUnrest(place, this.#span.intervalS[k]!, false);
    return false;
  }

  #learnUnrest(place: number, intervalS: number, suspicious: boolean): void {
    const { tests, cycle } = this.#state;
    const { shortRatio, longRatio } = tests!;
    if (shortRatio === shortRatio) learnUnrest(cycle, place, 0, shortRatio, intervalS, suspicious);
    if (longRatio === longRatio) learnUnrest(cycle, place, 1, longRatio, intervalS, suspicious);
  }

  /** A look was worth attention, or a change is still to be settled. */
  #attend(place: number): void {
    const state = this.#state;
    const { history, spikes, watch, cycle } = state;
    const tests = state.tests!;
    const best = this.#best;
    const { intervalS } = state.pace;
    const recurs = best.shape >= 0 && this.#recurs(place);
    if (best.shape >= 0) this.#learnUnrest(place, intervalS, !recurs);
    if (recurs) return;
    const split = this.#changes.next(watch, tests, history, state.value, {
      look: best,
      needed: this.#needed(intervalS),
      placeKnown: known(cycle, place),
      outOfRhythm: outOfRhythm(cycle),
      intervalS: intervalS > 0 ? intervalS : 1,
      health: state.health,
      findings: state.findings,
    });
    if (watch.fallenSick >= 0) this.#holdOut();
    if (split <= 0) return;
    markRestless(cycle, place);
    state.confirmedPlace = place;
    state.confirmedLayer = cycle.layers;
    moveLevels(cycle, watch.shift);
    restartAt(history, split + 1);
    forgetRecent(tests);
    // What left the level did not come back: the level moved.
    forgetSpikes(spikes);
  }

  /** The blocks before hold too little of a channel that is back: what follows is not compared with them. */
  #beginBlocks(): void {
    const { history, watch } = this.#state;
    restartAt(history, history.count + 1);
    this.#changes.interrupt(watch);
  }

  /** A channel found sick is left out for a while, each time for longer. */
  #holdOut(): void {
    const { watch, health, heldOutFor } = this.#state;
    const j = this.#frame.first + watch.fallenSick;
    watch.fallenSick = -1;
    health[j]!.heldOut = heldOutFor[j]!;
    heldOutFor[j] = Math.min(longestHeldOut, 2 * heldOutFor[j]!);
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
  #keepStatistic({ statistic, threshold }: WatchedStatistic, i: number, intervalS: number): void {
    const judged = this.#state.tests !== undefined;
    statistic[i] = !judged ? NaN : this.#best.shape >= 0 ? this.#best.surprise : 0;
    threshold[i] = judged ? this.#needed(intervalS) : NaN;
  }

  #needed(intervalS: number): number {
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
    const ended = followSpikes(spikes, this.#firstExcess, first, state.samples);
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

  #heat(columns: Columns, i: number, count: number, placed: boolean): void {
    const { cycle, heat, findings } = this.#state;
    const rows = this.#heatRows;
    rows.rows = count;
    rows.placed = placed;
    rows.samples = cycle.samples - count + 1;
    rows.usualSamples = cycle.usualSamples;
    rows.knownFrom = placed ? rowsUntilKnown(cycle, count - 1) : 0;
    watchHeat(heat, this.#frame.cell, rows, (k) => instantOf(columns, i + k), findings);
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

function instantOf({ rows, time, layers }: Columns, i: number): Instant {
  const row = rows.firstRow + i;
  return { row, line: rows.lines[i]!, timeS: time ? time[i]! : row, layer: layers ? layers[i]! : NaN };
}

/** Writes where the next samples come from into the rings. */
function noteRows(history: HistoryState, columns: Columns, i: number, count: number): void {
  const { rows, time, layers, phases } = columns;
  for (let k = 0; k < count; k++) {
    const at = slot(history.count + 1 + k);
    const row = rows.firstRow + i + k;
    history.row[at] = row;
    history.line[at] = rows.lines[i + k]!;
    history.timeS[at] = time ? time[i + k]! : row;
    history.layer[at] = layers ? layers[i + k]! : NaN;
    history.phase[at] = phases ? phases[i + k]! : NaN;
  }
}
