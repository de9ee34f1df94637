// Sensor findings of one cell -> events. A finding with the same onset, kind and channels as one before gives its end.
import type { LogHeader } from '../header/logHeader.ts';
import type { StrainEvent } from './events.ts';
import type { SensorFinding } from './findings.ts';
import { addEvent, reviseEvent, withdrawEvent } from './ledger.ts';
import type { LedgerState } from './ledger.ts';
import { sensorEvidence, sensorMessage } from './message.ts';

export function tellSensor(header: LogHeader, ledger: LedgerState, finding: SensorFinding): void {
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
    return;
  }
  if (finding.what === 'stuck') withdrawJump(ledger, finding);
  addEvent(ledger, header, event, finding.cell, size);
}

/** A channel that jumped as it froze has frozen: one fault, one event. */
function withdrawJump(ledger: LedgerState, finding: SensorFinding): void {
  ledger.entries.forEach(({ event }, slot) => {
    const same = event.kind === 'jump' && event.channels.some((c) => finding.channels.includes(c));
    if (same && Math.abs(event.row - finding.row) <= togetherRows) withdrawEvent(ledger, slot);
  });
}

/** Onsets of a jump and of the run of equal readings after it may be this far apart. */
const togetherRows = 3;

function sensorEvent(header: LogHeader, finding: SensorFinding): StrainEvent {
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
    originM: [NaN, NaN],
    originSpreadM: NaN,
    part: '',
    evidence: sensorEvidence(header, finding),
    message: sensorMessage(header, finding),
    folded: 0,
  };
}
