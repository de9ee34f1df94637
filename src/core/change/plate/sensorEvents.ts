// Sensor findings of one cell -> events. A finding with the same onset, kind and channels as one before gives its end.
import type { LogHeader } from '../../header/logHeader.ts';
import type { StrainEvent } from '../events.ts';
import type { SensorFinding } from '../findings.ts';
import { instantIn } from '../readings/heatWatch.ts';
import { addEvent, reviseEvent, withdrawEvent } from './ledger.ts';
import type { LedgerState } from './ledger.ts';
import { sensorEvidence, sensorMessage } from './message.ts';

/** Answers with the place in the list of an event that is new; -1 where there is none. */
export function tellSensor(header: LogHeader, ledger: LedgerState, finding: SensorFinding): number {
  const event = sensorEvent(header, finding);
  const size = finding.what === 'spike' ? Math.abs(finding.size) : NaN;
  if (finding.endRow >= 0 && finding.what !== 'spike') {
    const slot = ledger.entries.findLastIndex(
      ({ event: e }) =>
        e.kind === finding.what &&
        e.row === finding.row &&
        Number.isNaN(e.endTimeS) &&
        e.channels.includes(finding.channels[0]!),
    );
    if (slot >= 0) {
      const told = ledger.entries[slot]!.event;
      const { id, detectedRow, detectedTimeS, channels } = told;
      reviseEvent(ledger, slot, { ...event, id, detectedRow, detectedTimeS, channels }, size);
    }
    return -1;
  }
  if (finding.what === 'stuck') withdrawJump(ledger, finding);
  if (finding.chatters) return tellChatter(header, ledger, event, finding);
  if (finding.what === 'wander' && correct(ledger, event, finding)) return -1;
  return addEvent(ledger, header, event, finding.cell, size).slot;
}

/** A channel spikes too often: what was told of it since, spike by spike or as changes, were these. */
function tellChatter(header: LogHeader, ledger: LedgerState, event: StrainEvent, finding: SensorFinding): number {
  let folded = 0;
  for (const slot of toldWrongly(ledger, finding)) {
    const told = ledger.entries[slot]!.event;
    if (told.row < event.row) continue;
    // Its spikes are counted by itself.
    if (told.kind !== 'spike') folded += 1 + told.folded;
    withdrawEvent(ledger, slot);
  }
  return addEvent(ledger, header, { ...event, folded }, finding.cell, NaN).slot;
}

/** One more spike of a channel that is told to spike too often. */
export function countSpike(ledger: LedgerState, { channels, row, cell }: SensorFinding): void {
  const ofChannel = ledger.entries.findLast(
    ({ event, withdrawn }) =>
      !withdrawn && event.kind === 'wander' && event.row === row && event.channels.includes(channels[0]!),
  );
  // Where it was folded itself, its spikes go with it.
  const entry = ofChannel ?? ledger.entries[ledger.minutes[`wander/${cell}`]?.slot ?? -1];
  if (entry) entry.event = { ...entry.event, folded: entry.event.folded + 1 };
}

/** Places of the events since the channel fell sick that were the channel. */
function toldWrongly(ledger: LedgerState, finding: SensorFinding): number[] {
  return ledger.entries.flatMap(({ event: told, withdrawn }, slot) => {
    const since = told.row >= finding.row || (told.row >= finding.row - earlierRows && pointsAt(told, finding));
    return !withdrawn && since && mayBe(told, finding) ? [slot] : [];
  });
}

/**
 * What was told of the cell's strain since the channel fell sick was the channel: the first such event becomes the
 * channel's, the others are counted in it. False where there is none.
 */
function correct(ledger: LedgerState, event: StrainEvent, finding: SensorFinding): boolean {
  const wrong = toldWrongly(ledger, finding);
  const [first, ...others] = wrong;
  if (first === undefined) return false;
  const told = ledger.entries[first]!;
  const { id, detectedRow, detectedTimeS } = told.event;
  told.event = {
    ...event,
    ...instantIn(told.event.row < event.row ? told.event : event),
    id,
    detectedRow,
    detectedTimeS,
    folded: told.event.folded + others.length,
  };
  told.size = NaN;
  for (const slot of others) withdrawEvent(ledger, slot);
  return true;
}

/** A channel had begun to wander so many rows before the first change that could be counted against it. */
const earlierRows = 600;

/** An event whose likeliest channel is this one, or which was told of it. */
function pointsAt({ kind, channels, loneChannel }: StrainEvent, finding: SensorFinding): boolean {
  if (channels.length > 0) return kind === 'wander' || kind === 'jump';
  return finding.channels.includes(loneChannel);
}

/** A channel made an event, rather than the metal, by odds of e to the minus this; one found wandering, which is the likeliest. */
const anyOdds = 2;
const wanderingOdds = 5;

/** An event of this cell alone, or hardly of others, which one of its channels may have made. */
function mayBe(event: StrainEvent, finding: SensorFinding): boolean {
  if (event.channels.length > 0) return event.channels.every((c) => finding.channels.includes(c));
  const solo = event.evidence.find((e) => e.name === 'one-channel');
  if (!solo) return false;
  if (finding.what === 'wander' && finding.channels.includes(event.loneChannel)) return solo.value > -wanderingOdds;
  const [strongest, next] = [event.cells[0], event.cells.find((c) => c.cell !== finding.cell)];
  return strongest?.cell === finding.cell && (!next || next.sigmas < strongest.sigmas / 2) && solo.value > -anyOdds;
}

/** A channel that jumped as it froze has frozen: one fault, one event. */
function withdrawJump(ledger: LedgerState, finding: SensorFinding): void {
  ledger.entries.forEach(({ event }, slot) => {
    const together = Math.abs(event.row - finding.row) <= togetherRows;
    if (together && event.kind !== finding.what && mayBe(event, finding)) withdrawEvent(ledger, slot);
  });
}

/** Onsets of a jump and of the run of equal readings after it may be this far apart. */
const togetherRows = 3;

export function sensorEvent(header: LogHeader, finding: SensorFinding): StrainEvent {
  return {
    id: '',
    nature: 'sensor',
    kind: finding.what,
    severity: 'information',
    sure: true,
    row: finding.row,
    line: finding.line,
    timeS: finding.timeS,
    endTimeS: finding.endTimeS,
    detectedRow: finding.knownRow,
    detectedTimeS: finding.knownTimeS,
    layer: Number.isNaN(finding.layer) ? -1 : finding.layer,
    cells: [],
    channels: finding.channels,
    loneChannel: -1,
    originM: [NaN, NaN],
    originSpreadM: NaN,
    part: '',
    evidence: sensorEvidence(header, finding),
    message: sensorMessage(header, finding),
    folded: 0,
  };
}
