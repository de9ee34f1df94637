// Follows one change of a cell from the first suspicion to its settled size: decides what is told to the plate stage, and
// when the cell starts afresh. A change that goes back within a short while is told as the return of the first, not as a
// second one.
import { blockShapes } from '../noise/blockShapes.ts';
import type { BlockTestsState } from '../blocks/blockTests.ts';
import type { CellFrame } from '../cellFrame.ts';
import { findingOf } from './changeFinding.ts';
import { sizeShare } from './changeShape.ts';
import { isPart, isRecent, levelsFrom, measuredNext, openUntil, rebased, takenBack } from './confirmedChange.ts';
import type { Basis, Confirmed } from './confirmedChange.ts';
import { matchCycle } from './cycleMatch.ts';
import { isThere } from '../readings/health.ts';
import { ringSize, samplesUntil, slot } from '../history.ts';
import type { HistoryState } from '../history.ts';
import { estimateOnset, laterOnset, levelBefore, measureChange } from './measure.ts';
import type { Measured } from './measure.ts';
import { onsetOf, phaseIndex } from './onset.ts';
import type { Onset } from './onset.ts';
import type { Sight } from './sight.ts';
import { acquit, newSickChannels, noteChange, wanderFinding } from './sickChannels.ts';
import type { SickChannelsState } from './sickChannels.ts';
import { lastingRows, lastsNow } from './suspicion.ts';
import type { Suspicion } from './suspicion.ts';

export interface ChangeWatchState {
  serial: number;
  suspected: Suspicion | undefined;
  confirmed: Confirmed | undefined;
  /** Those before it, oldest first: what comes next may take them back, too. */
  past: Confirmed[];
  /** By how much each component moved at the last confirmed change. */
  shift: number[];
  readonly sick: SickChannelsState;
  /** Index among the strain channels of the one that has just been found sick; -1 for none. */
  fallenSick: number;
}

/** A suspicion is told again when it has grown by this much: odds of e to the second. */
const growth = 2;
/** A change that began so many rows, and a block, after a suspected one is another. */
const slackRows = 3;
/** A suspicion is over when nothing spoke for this many rows. */
const quietRows = 32;
/** Samples that tell the level after a change has settled, at most. */
const mostLatest = ringSize / 2;
/** A confirmed change that measures less than this many of its errors later on has gone. */
const goneSigmas = 4;
/** So has one of which less than this share is left. */
const goneShare = 0.25;
export class ChangeWatch {
  readonly #frame: CellFrame;

  constructor(frame: CellFrame) {
    this.#frame = frame;
  }

  static newState(channels: number, serial = 0): ChangeWatchState {
    const sick = newSickChannels(channels);
    return { serial, suspected: undefined, confirmed: undefined, past: [], shift: [], sick, fallenSick: -1 };
  }

  interrupt(state: ChangeWatchState): void {
    state.suspected = undefined;
    state.confirmed = undefined;
    state.past = [];
  }

  /**
   * Takes the best look of one sample. Returns the last sample before a confirmed change, or of one that has gone (restart
   * there), else 0.
   */
  next(
    state: ChangeWatchState,
    tests: BlockTestsState,
    history: HistoryState,
    value: Float64Array,
    sight: Sight,
  ): number {
    const { look } = sight;
    const { confirmed } = state;
    if (confirmed && confirmed.again > 0 && history.count >= confirmed.again) {
      const gone = this.#settle(state, confirmed, tests, history, value, sight);
      if (gone > 0) return gone;
    }
    if (look.shape < 0) return 0;
    const row = history.row[slot(history.count)]!;
    if (state.suspected && row - state.suspected.row > quietRows * sight.rows) state.suspected = undefined;
    const suspicion = state.suspected;
    if (suspicion) suspicion.row = row;
    if (!sight.placeKnown) return 0;
    const cries = look.surprise >= sight.needed;
    const grown = !suspicion || lastsNow(suspicion, row) || look.surprise > suspicion.surprise + growth;
    if (!cries && !grown && row - suspicion.onset <= 2 * suspicion.length + slackRows * sight.rows) return 0;
    const split = estimateOnset(tests, history, look.shape);
    const before = levelBefore(history, split);
    const basis = { before, beforeCount: split, taken: takenOff(history, split + 1) };
    const measured = this.#measure(tests, history, split, basis, value, sight);
    const onset = onsetOf(history, split);
    const length = blockShapes[look.shape]!.length * sight.rows;
    if (state.suspected && onset.row - state.suspected.onset > slackRows * sight.rows + state.suspected.length) {
      state.suspected = undefined;
      state.serial++;
    } else if (!cries && !grown) return 0;
    const whole = confirmed && isPart(confirmed, onset) ? confirmed : undefined;
    const suspected = state.suspected?.serial === confirmed?.serial ? undefined : state.suspected;
    const serial = (whole ?? suspected)?.serial ?? ++state.serial;
    const match = matchCycle(sight.cycle, history, split, sight.rows, measured.weighed);
    const told = { serial, surprise: look.surprise, length, partRow: onset.row, match };
    if (!cries) {
      const latest = Math.ceil((history.count - split) / 2);
      const now = this.#measure(tests, history, split, basis, value, sight, latest);
      const was = state.suspected?.delta ?? measured.delta;
      const delta = sizeShare(was, measured.delta) > 1 ? was : measured.delta;
      // A block is still full of a blow that is over.
      const lasting = row - onset.row >= lastingRows && sizeShare(now.delta, delta) >= goneShare;
      state.suspected = { serial, surprise: look.surprise, row, onset: onset.row, length, lasting, delta };
      // What is only suspected on top of a change that is sure says nothing about that.
      if (!whole)
        sight.findings.push(findingOf(this.#frame, 'suspected', { ...told, lasting }, onset, measured, history, sight));
      return 0;
    }
    state.suspected = undefined;
    state.shift = measured.shift;
    const recent = [...state.past, ...(confirmed ? [confirmed] : [])].filter((change) =>
      isRecent(change, onset, sight),
    );
    const taken = takenBack(recent, before, measured.shift, measured.deltaError, this.#frame.first);
    const returned = taken < 0 ? [] : recent.slice(taken);
    for (const change of returned) this.#tellReturn(change, onset, measured, history, sight);
    const done = taken < 0 ? recent.filter((change) => change !== whole) : recent;
    state.past = done.map((change) => rebased(change, history, split));
    state.confirmed = undefined;
    if (taken >= 0) return split;
    const open = openUntil(onset.row, row, sight);
    if (whole) this.#goOn(state, whole, { ...told, openUntil: open }, tests, history, split, value, sight);
    else {
      sight.findings.push(findingOf(this.#frame, 'confirmed', told, onset, measured, history, sight));
      if (confirmed) this.#noteSolo(state, confirmed, history, sight);
      state.confirmed = {
        ...onset,
        ...told,
        ...basis,
        before: levelsFrom(before, history, split),
        knownRow: row,
        openUntil: open,
        delta: measured.delta,
        moved: measured.shift,
        again: measuredNext(0, sight),
        soloChannel: measured.soloChannel,
        soloEvidence: measured.soloEvidence,
        noted: false,
        gone: false,
      };
    }
    return split;
  }

  /** A further part of the change `whole` was confirmed: its size is what the level is now less what it was before all of it. */
  #goOn(
    state: ChangeWatchState,
    whole: Confirmed,
    part: { partRow: number; openUntil: number; surprise: number },
    tests: BlockTestsState,
    history: HistoryState,
    split: number,
    value: Float64Array,
    sight: Sight,
  ): void {
    const measured = this.#measure(tests, history, split, whole, value, sight);
    const { delta, soloChannel, soloEvidence } = measured;
    const surprise = Math.max(whole.surprise, part.surprise);
    const { partRow, openUntil: open } = part;
    const match = matchCycle(sight.cycle, history, split, sight.rows, measured.weighed);
    const moved = whole.moved.map((d, j) => d + state.shift[j]!);
    const now = {
      surprise,
      partRow,
      openUntil: open,
      delta,
      match,
      moved,
      again: measuredNext(0, sight),
      soloChannel,
      soloEvidence,
    };
    state.confirmed = { ...rebased(whole, history, split), ...now };
    sight.findings.push(findingOf(this.#frame, 'confirmed', state.confirmed, whole, measured, history, sight));
  }

  /** `end`: the first sample after the change went back. */
  #tellReturn(
    change: Confirmed,
    end: Pick<Onset, 'row' | 'timeS' | 'phase'>,
    measured: Measured,
    history: HistoryState,
    sight: Sight,
  ): void {
    if (change.gone) return;
    change.gone = true;
    const finding = findingOf(
      this.#frame,
      'returned',
      change,
      change,
      { ...measured, delta: change.delta },
      history,
      sight,
    );
    sight.findings.push({ ...finding, endRow: end.row, endTimeS: end.timeS, endPhase: phaseIndex(end.phase) });
  }

  /** Answers with the last sample of what has gone by now; 0 where it has not. */
  #settle(
    state: ChangeWatchState,
    confirmed: Confirmed,
    tests: BlockTestsState,
    history: HistoryState,
    value: Float64Array,
    sight: Sight,
  ): number {
    const { first, channels } = this.#frame;
    if (!channels.every((_, c) => Number.isNaN(confirmed.delta[c]!) || isThere(sight.health[first + c]!))) {
      // A channel that was part of it is gone: there is nothing left to measure it by.
      confirmed.again = 0;
      return 0;
    }
    // What is there now, not what there was at first: a blow is over before this.
    const latest = Math.min(mostLatest, Math.ceil(history.count / 2));
    const measured = this.#measure(tests, history, 0, confirmed, value, sight, latest);
    const open = [...state.past, confirmed];
    const taken = takenBack(state.past, confirmed.before, measured.shift, measured.deltaError, first);
    const isGone = measured.sigmas < goneSigmas || sizeShare(measured.delta, confirmed.delta) < goneShare;
    if (isGone || taken >= 0) {
      // It lasted no longer than the block that saw it, or was itself the way back of one before.
      const now = slot(history.count);
      const end = { row: history.row[now]!, timeS: history.timeS[now]!, phase: history.phase[now]! };
      const from = taken < 0 ? open.length - 1 : taken;
      for (const change of open.slice(from)) this.#tellReturn(change, end, measured, history, sight);
      // The blow is no yardstick for what comes after it: levels go where they are now, and blocks begin there.
      const split = history.count - latest;
      state.shift = measured.shift.map((d, j) => d - confirmed.moved[j]!);
      state.confirmed = undefined;
      state.suspected = undefined;
      state.past = open.map((change) => rebased(change, history, split));
      return split;
    }
    this.#putOnsetRight(confirmed, measured, tests, history);
    confirmed.delta = measured.delta;
    confirmed.again = measuredNext(confirmed.again, sight);
    sight.findings.push(findingOf(this.#frame, 'settled', confirmed, confirmed, measured, history, sight));
    confirmed.soloChannel = measured.soloChannel;
    confirmed.soloEvidence = measured.soloEvidence;
    this.#noteSolo(state, confirmed, history, sight);
    return 0;
  }

  /** Noise before a faint change may have been taken for its beginning; of a ramp, the beginning is faint itself. */
  #putOnsetRight(confirmed: Confirmed, { ramp }: Measured, tests: BlockTestsState, history: HistoryState): void {
    const whole = confirmed.partRow === confirmed.row && history.count < ringSize;
    if (ramp || !whole) return;
    const { before, beforeCount, knownRow } = confirmed;
    const later = laterOnset(tests, history, before, beforeCount, samplesUntil(history, knownRow));
    if (later <= 0) return;
    Object.assign(confirmed, onsetOf(history, later));
    confirmed.partRow = confirmed.row;
  }

  /** Counts what a change says about its cell's channels, once; tells of the channel that is found sick by it. */
  #noteSolo(state: ChangeWatchState, change: Confirmed, history: HistoryState, sight: Sight): void {
    if (change.noted) return;
    change.noted = true;
    const { cell, channels } = this.#frame;
    const channel = channels.indexOf(change.soloChannel);
    if (!noteChange(state.sick, channel, change.soloEvidence, change)) return;
    sight.findings.push(wanderFinding(state.sick, channel, cell, channels[channel]!, history));
    state.fallenSick = channel;
    acquit(state.sick, channel);
  }

  #measure(
    tests: BlockTestsState,
    history: HistoryState,
    split: number,
    { before, beforeCount, taken }: Basis,
    value: Float64Array,
    sight: Sight,
    latest?: number,
  ): Measured {
    // A change turns the directions that the cycle of the layer gives at its onset, not where the measuring ends.
    const { level, count } = history;
    const takenNow = takenOff(history, count);
    const offset = value.map((v, j) => v - level[j]! - takenNow[j]! + taken[j]!);
    const { first, channels } = this.#frame;
    const present = channels.map((_, c) => isThere(sight.health[first + c]!));
    const sampleS = sight.rows * sight.intervalS;
    return measureChange(this.#frame, tests, history, split, before, beforeCount, offset, present, sampleS, latest);
  }
}

/** What the cycle took off at a sample, per component. */
function takenOff({ dimension, takenSums }: HistoryState, sample: number): number[] {
  const [at, before] = [slot(sample) * dimension, slot(sample - 1) * dimension];
  return Array.from({ length: dimension }, (_, j) => takenSums[at + j]! - takenSums[before + j]!);
}
