// One cell's watch: rows of its strain channels and temperature come in, findings go out, in the order in which they
// became known. Causal, row by row, so the chunking cannot matter; sees this cell only. Strain dimensionless, times in
// seconds. The steps: health of each reading; cycle of the layer taken off; block tests; onset and size of what they
// find; a fresh start after it, so that the next change is seen too.
import type { LogHeader } from '../../header/logHeader.ts';
import type { CellBlock } from '../../strain/cellBlock.ts';
import type { CellLayout } from '../../strain/layout.ts';
import type { StrainContext } from '../../strain/strainContext.ts';
import type { RowBlock } from '../../table/rowBlock.ts';
import { lookAll, looksAt, rowTools } from '../blocks/blockLooks.ts';
import type { LookTools } from '../blocks/blockLooks.ts';
import { forgetRecent, newBlockTests } from '../blocks/blockTests.ts';
import type { Look } from '../blocks/blockTests.ts';
import { forgetStir, newBlowTest } from '../blocks/blowTest.ts';
import { takeWildness, turnSick } from './chatter.ts';
import { cellColumns, noteRows } from './cellColumns.ts';
import type { CellColumns } from './cellColumns.ts';
import { learnFirstNoise, newCellDetectorState } from './cellDetectorState.ts';
import type { CellDetectorState } from './cellDetectorState.ts';
import { cellFrame } from '../cellFrame.ts';
import type { CellFrame } from '../cellFrame.ts';
import { CellReadings } from './cellReadings.ts';
import { BlowWatch } from './blowWatch.ts';
import { ChangeWatch } from '../confirm/changeWatch.ts';
import type { ChangeWatchState } from '../confirm/changeWatch.ts';
import { isYoung, justLearned, known, moveLevels, outOfRhythm, placeOf } from '../cycle/cycle.ts';
import { visit } from '../cycle/cyclePlaces.ts';
import type { CellFinding } from '../findings.ts';
import { FreshStarts } from './freshStarts.ts';
import { restartAt } from '../history.ts';
import { nextStep, stepKinds, usualIntervalS } from '../pace.ts';
import { copyPlain } from '../plain.ts';
import { longestSpan } from './span.ts';
import { recurs } from './recurring.ts';
import type { Sight } from '../confirm/sight.ts';
import { SpanHeat } from './spanHeat.ts';
import { SpanWalk } from './spanWalk.ts';
import { SlowWatch } from './slowWatch.ts';
import { tellSpikes } from './spikeFindings.ts';
import { forgetSpikes } from '../readings/spikes.ts';
import { learnUnrest, markRestless } from '../cycle/unrest.ts';
import { StatisticWatch } from './watchedStatistic.ts';
import type { WatchedStatistic } from './watchedStatistic.ts';

/** Rows from which noise is learned where the datum window tells none. */
const learningSamples = 16;
/** Rows for which a channel found sick is left out at most. */
const longestHeldOut = 8192;

export class CellDetector {
  readonly #frame: CellFrame;
  readonly #header: LogHeader;
  readonly #changes: ChangeWatch;
  readonly #readings: CellReadings;
  readonly #spans: SpanWalk;
  /** Distances of a span's first row from the levels before, in noises. */
  readonly #firstExcess: Float64Array;
  readonly #heat: SpanHeat;
  readonly #statistic: StatisticWatch;
  readonly #best: Look = { shape: -1, surprise: 0 };
  readonly #tools: LookTools;
  readonly #slow: SlowWatch;
  readonly #blows: BlowWatch;
  readonly #afresh: FreshStarts;
  /** Sum of squared distances of one sample from which on it stirs: the upper tenth of chi-square, about. */
  readonly #stirLimit: number;
  readonly #state: CellDetectorState;

  /** `saved`: what `save` gave, to go on from. */
  constructor(header: LogHeader, layout: CellLayout, context: StrainContext, saved?: CellDetectorState) {
    this.#header = header;
    const frame = cellFrame(header, layout, context);
    const state = saved ? copyPlain(saved) : newCellDetectorState(header, frame);
    this.#frame = frame;
    this.#state = state;
    this.#changes = new ChangeWatch(frame);
    this.#readings = new CellReadings(frame, state);
    this.#spans = new SpanWalk(frame, state, this.#readings.leastNoise);
    const { span } = this.#spans;
    this.#heat = new SpanHeat(frame.cell, state, span);
    this.#statistic = new StatisticWatch(header);
    this.#firstExcess = span.excess.subarray(0, frame.dimension);
    const tested = frame.channels.length;
    this.#stirLimit = tested + 1.3 * Math.sqrt(2 * tested);
    this.#tools = rowTools(state.cycle, this.#best, frame.dimension);
    this.#slow = new SlowWatch(frame, state, this.#changes, this.#statistic, this.#readings.leastNoise);
    this.#blows = new BlowWatch(frame, state, this.#statistic);
    this.#afresh = new FreshStarts(state, this.#changes, this.#slow);
  }

  save(): CellDetectorState {
    return copyPlain(this.#state);
  }

  /** The state itself, for whoever has done with this detector. */
  handOver(): CellDetectorState {
    return this.#state;
  }

  /** Findings since the last call, by `knownRow`. */
  take(): CellFinding[] {
    const taken = this.#state.findings;
    this.#state.findings = [];
    return taken;
  }

  /** From now on the statistic of each row of a block is kept for drawing, in arrays that are reused. */
  watch(capacity: number): WatchedStatistic {
    return this.#statistic.begin(capacity);
  }

  /** Nothing is held back for the end of the log: what is open stays open. */
  finish(): void {}

  push(cell: CellBlock, rows: RowBlock): void {
    if (this.#frame.channels.length === 0) return;
    const columns = cellColumns(this.#header, this.#frame, cell, rows);
    for (let i = 0; i < rows.rows;) i += this.#advance(columns, i);
  }

  /** Takes the rows from `i` on that can be taken in one; answers with their number, 1 or more. */
  #advance(columns: CellColumns, i: number): number {
    const state = this.#state;
    const { pace, cycle } = state;
    const row = columns.rows.firstRow + i;
    const timeS = columns.time ? columns.time[i]! : row;
    this.#best.shape = -1;
    const sinceS = timeS - pace.lastS;
    const kind = nextStep(pace, timeS);
    if (kind !== stepKinds.usual) this.#afresh.interrupt(kind === stepKinds.newRate);
    const most = this.#isCalm() ? Math.min(columns.rows.rows - i, longestSpan) : 1;
    const quiet = this.#readings.quietRows(columns, i, most);
    if (quiet === 0) {
      const read = this.#readings.takeOne(columns, i);
      if (this.#readings.returned) this.#afresh.beginBlocks();
      if (!read) {
        const { intervalS } = this.#spans.span;
        intervalS[0] = pace.intervalS;
        this.#statistic.keep(i, 1, intervalS, state.tests !== undefined, this.#best);
        return 1;
      }
    }
    const layer = columns.layers ? columns.layers[i]! : NaN;
    const phase = columns.phases ? columns.phases[i]! : NaN;
    const place = placeOf(cycle, timeS, layer, phase, pace.intervalS, sinceS);
    const count = this.#spans.plan(columns, i, quiet > 1 ? quiet : 1, place);
    if (place >= 0 && justLearned(cycle)) this.#afresh.afterLearning();
    return this.#walk(columns, i, count, place >= 0, quiet > 0);
  }

  /** Nothing is under way that needs to be seen to row by row. */
  #isCalm(): boolean {
    const { tests, spikes, watch } = this.#state;
    return tests !== undefined && spikes.away === 0 && !(watch.confirmed && watch.confirmed.again > 0);
  }

  /**
   * Walks the rows of a span: first every component through all of them, then row by row what needs all components. A row
   * that has something to tell ends the span: the components are then walked again, up to that row only.
   */
  #walk(columns: CellColumns, i: number, most: number, placed: boolean, quiet: boolean): number {
    const state = this.#state;
    const { history, watch } = state;
    const { span } = this.#spans;
    const values = quiet ? columns.values : this.#readings.alone;
    const from = quiet ? i : 0;
    this.#spans.walk(values, from, most, placed);
    const tame = this.#spans.tameRows(most);
    let count = tame > 0 ? tame : 1;
    if (count < most) this.#spans.shorten(values, from, count, most, placed);
    const alone = count === 1;
    noteRows(history, columns, i, count);
    state.samples += count;
    if (alone) this.#keepRows(columns, i, 1, placed);
    let told = false;
    let turned = false;
    let slowDue = this.#slow.due();
    for (let k = 0; k < count; k++) {
      if (placed) visit(state.cycle, span, k);
      history.count++;
      turned = takeWildness(this.#frame, state, span, k, state.samples - count + k + 1);
      if (!state.tests) this.#begin();
      else {
        if (span.noiseGain[k]! > 0) this.#readings.raiseNoise(state.tests);
        if (tame === 0) tellSpikes(this.#frame, state, this.#firstExcess);
        const place = placed ? span.place[k]! : -1;
        const struck = this.#blows.look(span, k, place);
        const spoke = this.#look(place, k) || struck;
        let slowly = false;
        if (history.count >= slowDue) {
          slowly = this.#slow.look(place, span.intervalS, k);
          slowDue = this.#slow.due();
        }
        told = spoke || slowly || (watch.confirmed !== undefined && watch.confirmed.again > 0);
      }
      if ((told || turned) && k + 1 < count) {
        state.samples -= count - k - 1;
        count = k + 1;
        this.#spans.shorten(values, from, count, most, placed);
      }
    }
    this.#statistic.keep(i, count, span.intervalS, state.tests !== undefined, this.#best);
    if (!alone) this.#keepRows(columns, i, count, placed);
    if (quiet) this.#readings.takeQuiet(columns, i, count);
    if (told) this.#attendAll(placed ? span.place[count - 1]! : -1);
    // What blocks hold of the spikes so far is no yardstick.
    if (turned && turnSick(state)) this.#afresh.beginBlocks();
    return count;
  }

  #keepRows(columns: CellColumns, i: number, count: number, placed: boolean): void {
    this.#spans.keep(columns, i, count, placed);
    if (this.#frame.first) this.#heat.take(columns, i, count, placed);
  }

  /** Makes the tests as soon as the noise is known. */
  #begin(): void {
    const state = this.#state;
    const { noise } = this.#frame;
    const told = noise.every((n) => n > 0);
    if (!told && state.samples < learningSamples) return;
    if (!told) learnFirstNoise(this.#frame, state);
    // With layers, what goes on in the first rows is the cycle, which is taken off once it is known.
    const { first, correlation } = this.#frame;
    state.tests = newBlockTests(state.noise, first, this.#header.roles.layer < 0 ? correlation : 0);
    state.blow = newBlowTest(state.tests);
  }

  /** Looks at the tests with one more sample; true where a look is worth attention. */
  #look(place: number, k: number): boolean {
    const { tests, history } = this.#state;
    const stirred = this.#spans.span.stir[k]! > this.#stirLimit;
    if (!looksAt(history.count, stirred)) return false;
    this.#tools.place = place;
    this.#tools.tell = this.#statistic.suspected(this.#spans.span.intervalS[k]!);
    lookAll(tests!, history, this.#tools, stirred);
    if (this.#best.shape >= 0) return true;
    this.#learnUnrest(place, this.#spans.span.intervalS[k]!, false);
    return false;
  }

  #learnUnrest(place: number, intervalS: number, suspicious: boolean): void {
    const { tests, cycle } = this.#state;
    const { shortRatio, longRatio } = tests!;
    if (shortRatio === shortRatio) learnUnrest(cycle, place, 0, shortRatio, intervalS, suspicious);
    if (longRatio === longRatio) learnUnrest(cycle, place, 1, longRatio, intervalS, suspicious);
  }

  /** A look was worth attention, or a change is still to be settled. */
  #attendAll(place: number): void {
    const sight = this.#sight(place);
    this.#blows.tell(place, sight);
    this.#attend(place, sight);
    const slow = this.#slow.attend(sight);
    if (slow) this.#holdOut(slow);
  }

  #attend(place: number, sight: Sight): void {
    const state = this.#state;
    const { history, spikes, watch, cycle } = state;
    const tests = state.tests!;
    const best = this.#best;
    const { intervalS } = state.pace;
    const again = best.shape >= 0 && recurs(state, place);
    if (best.shape >= 0) this.#learnUnrest(place, intervalS, !again);
    if (again) return;
    const split = this.#changes.next(watch, tests, history, state.value, sight);
    this.#holdOut(watch);
    if (split <= 0) return;
    markRestless(cycle, place);
    state.confirmedPlace = place;
    state.confirmedLayer = cycle.layers;
    moveLevels(cycle, watch.shift);
    restartAt(history, split + 1);
    forgetStir(state.blow!);
    forgetRecent(tests);
    // What left the level did not come back: the level moved.
    forgetSpikes(spikes);
    this.#slow.restart();
  }

  #sight(place: number): Sight {
    const { cycle, pace, flat, health, findings } = this.#state;
    return {
      look: this.#best,
      needed: this.#statistic.needed(pace.intervalS),
      placeKnown: known(cycle, place),
      cycle,
      outOfRhythm: outOfRhythm(cycle),
      young: isYoung(cycle),
      intervalS: usualIntervalS(pace),
      rows: 1,
      flat,
      health,
      findings,
    };
  }

  /** A channel found sick is left out for a while, each time for longer. */
  #holdOut(watch: ChangeWatchState): void {
    if (watch.fallenSick < 0) return;
    const { health, heldOutFor } = this.#state;
    const j = this.#frame.first + watch.fallenSick;
    watch.fallenSick = -1;
    health[j]!.heldOut = heldOutFor[j]!;
    heldOutFor[j] = Math.min(longestHeldOut, 2 * heldOutFor[j]!);
  }
}
