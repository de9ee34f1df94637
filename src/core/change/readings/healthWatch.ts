// Turns what happened to single readings (lost, found, stuck, freed) into findings of the cell: channels that turned in
// the same row and began in the same row are told together.
import type { CellFrame } from '../cellFrame.ts';
import type { CellFinding } from '../findings.ts';
import { turns } from './health.ts';
import type { HealthState, Turn } from './health.ts';

interface Notice {
  channel: number;
  turn: Turn;
  /** Rows that the state had lasted when it turned. */
  rows: number;
  reading: number;
}

export interface HealthWatchState {
  notices: Notice[];
  /** Onset per strain channel of the state it is in: row, line, time, layer; -1 where well. */
  open: { channel: number; what: 'dropout' | 'stuck'; row: number; line: number; timeS: number; layer: number }[];
}

export class HealthWatch {
  readonly #frame: CellFrame;

  constructor(frame: CellFrame) {
    this.#frame = frame;
  }

  static newState(): HealthWatchState {
    return { notices: [], open: [] };
  }

  /** `channel` counts the cell's strain channels; -1 is the temperature. */
  note(state: HealthWatchState, channel: number, turn: Turn, h: HealthState): void {
    state.notices.push({ channel, turn, rows: turn === turns.stuck ? h.equal : h.missing, reading: h.last });
  }

  tell(
    state: HealthWatchState,
    findings: CellFinding[],
    row: number,
    line: number,
    timeS: number,
    layer: number,
    intervalS: number,
  ): void {
    const { cell, channels } = this.#frame;
    const groups = new Map<string, { notice: Notice; channels: number[]; onset: HealthWatchState['open'][number] }>();
    for (const notice of state.notices) {
      const starts = notice.turn === turns.lost || notice.turn === turns.stuck;
      const what = notice.turn === turns.lost || notice.turn === turns.found ? 'dropout' : 'stuck';
      // The rows of the run lie behind; its first line is as many lines back where no line was skipped.
      const back = Math.min(row, notice.rows - 1);
      const onset = starts
        ? { channel: notice.channel, what, row: row - back, line: line - back, timeS: timeS - back * intervalS, layer }
        : state.open.find((o) => o.channel === notice.channel && o.what === what);
      if (!onset) continue;
      if (starts) state.open.push(onset as HealthWatchState['open'][number]);
      else state.open = state.open.filter((o) => o !== onset);
      const key = `${notice.turn}/${onset.row}`;
      const header = notice.channel < 0 ? this.#frame.temperatureChannel : channels[notice.channel]!;
      const group = groups.get(key);
      if (group) group.channels.push(header);
      else groups.set(key, { notice, channels: [header], onset: onset as HealthWatchState['open'][number] });
    }
    state.notices = [];
    for (const { notice, channels: told, onset } of groups.values()) {
      const over = notice.turn === turns.found || notice.turn === turns.freed;
      findings.push({
        what: onset.what,
        cell,
        knownRow: row,
        knownTimeS: timeS,
        row: onset.row,
        line: onset.line,
        timeS: onset.timeS,
        layer: onset.layer,
        channels: told,
        endRow: over ? row : -1,
        endTimeS: over ? timeS : NaN,
        samples: row - onset.row + (over ? 0 : 1),
        size: onset.what === 'stuck' ? notice.reading : 0,
        sigmas: 0,
      });
    }
  }
}
