// Follows one change of a cell from the first suspicion to its settled size: decides what is told to the plate stage, and
// when the cell starts afresh. A change that goes back within a short while is told as the return of the first, not as a
// second one.
import { blockShapes } from './blockShapes.ts';
import type { BlockTestsState, Look } from './blockTests.ts';
import type { CellFrame } from './cellFrame.ts';
import { sizeShare } from './changeShape.ts';
import { goesBack } from './confirmedChange.ts';
import type { Confirmed } from './confirmedChange.ts';
import type { CellFinding, ChangeFinding, ChangeStage } from './findings.ts';
import { isThere } from './health.ts';
import type { HealthState } from './health.ts';
import { slot } from './history.ts';
import type { HistoryState } from './history.ts';
import { estimateOnset, laterOnset, levelBefore, measureChange } from './measure.ts';
import type { Measured } from './measure.ts';
import { onsetOf, phaseIndex } from './onset.ts';
import type { Onset } from './onset.ts';
import { acquit, newSickChannels, noteChange } from './sickChannels.ts';
import type { SickChannelsState } from './sickChannels.ts';

export interface ChangeWatchState {
  serial: number;
  /** Suspicion that is open: greatest surprise told so far, and the rows of the last look that spoke. */
  suspected:
    { serial: number; surprise: number; row: number; onset: number; length: number; lasting: boolean } | undefined;
  confirmed: Confirmed | undefined;
  /** By how much each component moved at the last confirmed change. */
  shift: number[];
  readonly sick: SickChannelsState;
  /** Index among the strain channels of the one that has just been found sick; -1 for none. */
  fallenSick: number;
}

export interface Sight {
  readonly look: Look;
  /** Surprise at which the cell alone may cry. */
  readonly needed: number;
  /** False in layers whose cycle is not known yet. */
  readonly placeKnown: boolean;
  readonly outOfRhythm: boolean;
  readonly young: boolean;
  readonly intervalS: number;
  /** Rows in one sample. */
  readonly rows: number;
  /** Per component, the last value with the cycle off. */
  readonly flat: Float64Array;
  readonly health: readonly HealthState[];
  readonly findings: CellFinding[];
}

/** A suspicion is told again when it has grown by this much: odds of e to the second. */
const growth = 2;
/** A change that began so many rows, and a block, after a suspected one is another. */
const slackRows = 3;
/** A suspicion is over when nothing spoke for this many rows. */
const quietRows = 32;
/** A change too small to be told alone counts with its neighbours' once it has lasted so many rows. */
const lastingRows = 6;
/** Samples after the onset at which a confirmed change is measured again. */
const settleAt = [8, 24] as const;
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
    return { serial, suspected: undefined, confirmed: undefined, shift: [], sick, fallenSick: -1 };
  }

  interrupt(state: ChangeWatchState): void {
    state.suspected = undefined;
    state.confirmed = undefined;
  }

  /** Takes the best look of one sample. Returns the last sample before a confirmed change (restart there), else 0. */
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
      this.#settle(state, confirmed, tests, history, value, sight);
    }
    if (look.shape < 0) return 0;
    const row = history.row[slot(history.count)]!;
    if (state.suspected && row - state.suspected.row > quietRows * sight.rows) state.suspected = undefined;
    const open = state.suspected;
    if (open) open.row = row;
    if (!sight.placeKnown) return 0;
    const cries = look.surprise >= sight.needed;
    const grown = !open || lastsNow(open, row) || look.surprise > open.surprise + growth;
    if (!cries && !grown && row - open.onset <= 2 * open.length + slackRows * sight.rows) return 0;
    const split = estimateOnset(tests, history, look.shape);
    const before = levelBefore(history, split);
    const measured = this.#measure(tests, history, split, before, split, value, sight);
    const onset = onsetOf(history, split);
    const length = blockShapes[look.shape]!.length * sight.rows;
    if (state.suspected && onset.row - state.suspected.onset > slackRows * sight.rows + state.suspected.length) {
      state.suspected = undefined;
      state.serial++;
    } else if (!cries && !grown) return 0;
    const serial = state.suspected?.serial ?? ++state.serial;
    const told = { serial, surprise: look.surprise, length };
    if (!cries) {
      const lasting = row - onset.row >= lastingRows;
      state.suspected = { serial, surprise: look.surprise, row, onset: onset.row, length, lasting };
      sight.findings.push(this.#finding('suspected', told, onset, measured, history, sight));
      return 0;
    }
    state.suspected = undefined;
    state.shift = measured.shift;
    if (confirmed && goesBack(confirmed, measured.delta, onset)) {
      this.#tellReturn(confirmed, onset, { ...measured, delta: confirmed.delta }, history, sight);
      state.confirmed = undefined;
      return split;
    }
    sight.findings.push(this.#finding('confirmed', told, onset, measured, history, sight));
    if (confirmed) this.#noteSolo(state, confirmed, history, sight);
    const origin = slot(split + 1) * history.dimension;
    state.confirmed = {
      ...onset,
      ...told,
      before: before.map((v, j) => v - history.raw[origin + j]!),
      beforeCount: split,
      delta: measured.delta,
      first: measured.delta,
      again: settleAt[0],
      soloChannel: measured.soloChannel,
      soloEvidence: measured.soloEvidence,
      noted: false,
    };
    return split;
  }

  /** `end`: the first sample after the change went back. */
  #tellReturn(
    confirmed: Confirmed,
    end: Pick<Onset, 'row' | 'timeS' | 'phase'>,
    measured: Measured,
    history: HistoryState,
    sight: Sight,
  ): void {
    const finding = this.#finding('returned', confirmed, confirmed, measured, history, sight);
    sight.findings.push({ ...finding, endRow: end.row, endTimeS: end.timeS, endPhase: phaseIndex(end.phase) });
  }

  #settle(
    state: ChangeWatchState,
    confirmed: Confirmed,
    tests: BlockTestsState,
    history: HistoryState,
    value: Float64Array,
    sight: Sight,
  ): void {
    const { first, channels } = this.#frame;
    if (!channels.every((_, c) => Number.isNaN(confirmed.delta[c]!) || isThere(sight.health[first + c]!))) {
      // A channel that was part of it is gone: there is nothing left to measure it by.
      confirmed.again = 0;
      return;
    }
    // What is there now, not what there was at first: a blow is over before this.
    const latest = Math.ceil(history.count / 2);
    const measured = this.#measure(tests, history, 0, confirmed.before, confirmed.beforeCount, value, sight, latest);
    if (measured.sigmas < goneSigmas || sizeShare(measured.delta, confirmed.delta) < goneShare) {
      // What was confirmed is no longer there: it lasted no longer than the block that saw it.
      const now = slot(history.count);
      const end = { row: history.row[now]!, timeS: history.timeS[now]!, phase: history.phase[now]! };
      this.#tellReturn(confirmed, end, measured, history, sight);
      state.confirmed = undefined;
      return;
    }
    this.#putOnsetRight(confirmed, measured, tests, history);
    confirmed.delta = measured.delta;
    confirmed.again = settleAt.find((n) => n > confirmed.again) ?? 0;
    sight.findings.push(this.#finding('settled', confirmed, confirmed, measured, history, sight));
    confirmed.soloChannel = measured.soloChannel;
    confirmed.soloEvidence = measured.soloEvidence;
    this.#noteSolo(state, confirmed, history, sight);
    state.confirmed = confirmed;
  }

  /** Noise before a faint change may have been taken for its beginning; of a ramp, the beginning is faint itself. */
  #putOnsetRight(confirmed: Confirmed, { ramp }: Measured, tests: BlockTestsState, history: HistoryState): void {
    const later = ramp ? 0 : laterOnset(tests, history, confirmed.before, confirmed.beforeCount);
    if (later > 0) Object.assign(confirmed, onsetOf(history, later));
  }

  /** Counts what a change says about its cell's channels, once; tells of the channel that is found sick by it. */
  #noteSolo(state: ChangeWatchState, change: Confirmed, history: HistoryState, sight: Sight): void {
    if (change.noted) return;
    change.noted = true;
    const { cell, channels } = this.#frame;
    const channel = channels.indexOf(change.soloChannel);
    if (!noteChange(state.sick, channel, change.soloEvidence, change)) return;
    const now = slot(history.count);
    const changes = state.sick.changes[channel]!;
    const { row, line, timeS, layer } = state.sick.onset[channel]!;
    sight.findings.push({
      what: 'wander',
      cell,
      knownRow: history.row[now]!,
      knownTimeS: history.timeS[now]!,
      row,
      line,
      timeS,
      layer,
      channels: [channels[channel]!],
      endRow: -1,
      endTimeS: NaN,
      samples: changes,
      size: 0,
      sigmas: state.sick.score[channel]!,
    });
    state.fallenSick = channel;
    acquit(state.sick, channel);
  }

  #measure(
    tests: BlockTestsState,
    history: HistoryState,
    split: number,
    before: number[],
    beforeCount: number,
    value: Float64Array,
    sight: Sight,
    latest?: number,
  ): Measured {
    const offset = value.map((v, j) => v - history.level[j]!);
    const { first, channels } = this.#frame;
    const present = channels.map((_, c) => isThere(sight.health[first + c]!));
    return measureChange(this.#frame, tests, history, split, before, beforeCount, offset, present, latest);
  }

  #finding(
    stage: ChangeStage,
    told: { serial: number; surprise: number; length: number },
    onset: Onset,
    measured: Measured,
    history: HistoryState,
    sight: Sight,
  ): ChangeFinding {
    const now = slot(history.count);
    return {
      what: 'change',
      cell: this.#frame.cell,
      knownRow: history.row[now]!,
      knownTimeS: history.timeS[now]!,
      row: onset.row,
      line: onset.line,
      timeS: onset.timeS,
      layer: onset.layer,
      outOfRhythm: sight.outOfRhythm,
      young: sight.young,
      phase: phaseIndex(onset.phase),
      endPhase: -1,
      channels: [],
      serial: told.serial,
      stage,
      length: told.length,
      spacing: sight.rows,
      lasting: history.row[now]! - onset.row >= lastingRows,
      intervalS: sight.intervalS,
      surprise: told.surprise,
      sigmas: measured.sigmas,
      levelBefore: this.#frame.channels.map((_, c) => {
        const j = this.#frame.first + c;
        return measured.before[j]! + sight.flat[j]! - history.level[j]!;
      }),
      delta: measured.delta,
      deltaError: measured.deltaError,
      rosettes: measured.rosettes,
      ramp: measured.ramp,
      temperatureK: measured.temperatureK,
      usualK: measured.usualK,
      soloEvidence: measured.soloEvidence,
      soloChannel: measured.soloChannel,
      endRow: -1,
      endTimeS: NaN,
    };
  }
}

/** It has now lasted so long that neighbours may count it as a witness. */
function lastsNow(open: { lasting: boolean; onset: number }, row: number): boolean {
  return !open.lasting && row - open.onset >= lastingRows;
}
