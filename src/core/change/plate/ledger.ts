// The list of events told so far, with the flood cap: beyond a few events of one kind per cell and minute, further ones
// are counted in the last one told. Plain data: part of the plate stage's state.
import type { DetectionSettings, LogHeader } from '../../header/logHeader.ts';
import type { EventKind, StrainEvent } from '../events.ts';
import { againEvent } from './again.ts';

interface Entry {
  event: StrainEvent;
  /** Largest change, dimensionless; NaN where size is no matter (missing readings). */
  size: number;
  withdrawn: boolean;
  /** It is a part of a blow that is told, or of a change of the metal, for now. */
  yields: boolean;
  /** Line at which what it tells came again last; -1 where it did not. */
  againLine: number;
}

export interface LedgerState {
  entries: Entry[];
  /** Per `kind/cell`: start of the running minute, events told in it, and the last told. */
  minutes: Record<string, { fromS: number; count: number; slot: number }>;
}

/** Events of one kind told per cell and minute. */
const perMinute = 3;

export function newLedger(): LedgerState {
  return { entries: [], minutes: {} };
}

/** Adds an event, or folds it. Returns its place in the list and its id. */
export function addEvent(
  ledger: LedgerState,
  header: LogHeader,
  event: StrainEvent,
  cell: number,
  size: number,
): { slot: number; id: string } {
  const key = `${event.kind}/${cell}`;
  const minute = ledger.minutes[key];
  const now = event.detectedTimeS;
  if (minute && now - minute.fromS < 60 && now >= minute.fromS) {
    minute.count++;
    if (minute.count > perMinute) {
      const entry = ledger.entries[minute.slot]!;
      entry.event = { ...entry.event, folded: entry.event.folded + 1 };
      return { slot: -1, id: entry.event.id };
    }
    minute.slot = ledger.entries.length;
  } else ledger.minutes[key] = { fromS: now, count: 1, slot: ledger.entries.length };
  const id = freshId(ledger, `${event.kind}-${header.cells[cell]!.name}-${event.timeS.toFixed(3)}`);
  ledger.entries.push({ event: { ...event, id }, size, withdrawn: false, yields: false, againLine: -1 });
  return { slot: ledger.entries.length - 1, id };
}

function freshId(ledger: LedgerState, wanted: string): string {
  let id = wanted;
  for (let n = 2; ledger.entries.some((e) => e.event.id === id); n++) id = `${wanted}-${n}`;
  return id;
}

export function reviseEvent(ledger: LedgerState, slot: number, event: StrainEvent, size: number): void {
  const entry = ledger.entries[slot];
  if (!entry) return;
  if (event.kind !== entry.event.kind) entry.yields = false;
  entry.event = { ...event, folded: entry.event.folded };
  entry.size = size;
}

/** Counts in an event what came again at a line. False where there is none such of the metal any more, or it is sure by now. */
export function countAgain(ledger: LedgerState, slot: number, line: number): boolean {
  const entry = ledger.entries[slot];
  if (!entry || entry.withdrawn) return false;
  const { nature, severity, sure } = entry.event;
  if (nature !== 'mechanical' || severity === 'error' || sure) return false;
  entry.againLine = Math.max(entry.againLine, line);
  entry.event = { ...entry.event, folded: entry.event.folded + 1 };
  return true;
}

/** It was counted there, and is told by itself. */
export function countOff(ledger: LedgerState, slot: number): void {
  const { event } = ledger.entries[slot]!;
  ledger.entries[slot]!.event = { ...event, folded: event.folded - 1 };
}

/** One more like the event at `slot`. */
export function countIn(ledger: LedgerState, slot: number): void {
  const entry = ledger.entries[slot];
  if (entry) entry.event = { ...entry.event, folded: entry.event.folded + 1 };
}

export function withdrawEvent(ledger: LedgerState, slot: number): void {
  const entry = ledger.entries[slot];
  if (entry) entry.withdrawn = true;
}

/** What is of this kind still is hidden while it is a part of something else. */
export function yieldEvent(ledger: LedgerState, slot: number, kind: EventKind, yields: boolean): void {
  const entry = ledger.entries[slot];
  if (entry?.event.kind === kind) entry.yields = yields;
}

/** Events of the metal that are told, but for the one at `but`, and began within so many rows of `row`. */
export function metalAbout(ledger: LedgerState, row: number, rows: number, but: number): StrainEvent[] {
  return ledger.entries.flatMap(({ event, withdrawn, yields }, slot) =>
    slot !== but && !withdrawn && !yields && event.nature === 'mechanical' && Math.abs(event.row - row) <= rows
      ? [event]
      : [],
  );
}

/** Places of the spikes of these cells that are told and began within so many rows of `row`. */
export function spikesAbout(ledger: LedgerState, row: number, rows: number, cells: readonly number[]): number[] {
  if (cells.length === 0) return [];
  return ledger.entries.flatMap(({ event, withdrawn }, slot) =>
    !withdrawn &&
    event.kind === 'spike' &&
    Math.abs(event.row - row) <= rows &&
    event.cells.some(({ cell }) => cells.includes(cell))
      ? [slot]
      : [],
  );
}

/** What is shown under the settings: neither muted, nor smaller than what is worth hearing of, nor withdrawn. */
export function shownEvents(ledger: LedgerState, settings: DetectionSettings): StrainEvent[] {
  return ledger.entries
    .filter(({ event, size, withdrawn, yields }) => {
      return !withdrawn && !yields && !settings.mute.includes(event.kind) && !(size < settings.smallestJump);
    })
    .map(({ event, againLine }) => (againLine < 0 ? event : againEvent(event, againLine)));
}
