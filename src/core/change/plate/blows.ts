// Blows that are over within a sample or two: each cell sees spikes of its channels and no more. Several cells at the same
// instant are no matter of a channel: together their spikes are a strike.
import type { LogHeader } from '../../header/logHeader.ts';
import { phases } from '../../header/logHeader.ts';
import { neededSurprise } from '../noise/budget.ts';
import type { CellChange, StrainEvent } from '../events.ts';
import type { SensorFinding } from '../findings.ts';
import { isCommon } from './kind.ts';
import { logGamma } from '../noise/laws.ts';
import { addEvent, metalAbout, reviseEvent, yieldEvent } from './ledger.ts';
import type { LedgerState } from './ledger.ts';
import { blowEvidence, blowMessage } from './message.ts';
import type { PlateFrame } from './plateFrame.ts';
import { sensorEvent, tellSensor } from './sensorEvents.ts';

export interface Blow {
  /** Spikes that began together, and their places in the list of events. */
  spikes: { finding: SensorFinding; slot: number }[];
  /** Place of the strike told of them, -1 while none is. */
  slot: number;
  /** Spikes of the log before these that were no blow. */
  before: number;
}

/** The blade passes the cells of its row within so many rows, as a change does that is felt by several. */
const blowRows = 2;

/** Tells a spike, or the blow that it is part of. `last`: the spikes before; answers with those that began with this one. */
export function tellSpike(
  header: LogHeader,
  frame: PlateFrame,
  ledger: LedgerState,
  last: Blow | undefined,
  finding: SensorFinding,
): Blow {
  const blow = last && beganWith(last, finding.row) ? last : { spikes: [], slot: -1, before: loneSpikes(last) };
  blow.spikes.push({ finding, slot: tellSensor(header, ledger, finding) });
  if (isBlow(header, blow)) tellBlow(header, frame, ledger, blow);
  yieldToChange(ledger, blow);
  return blow;
}

function beganWith({ spikes }: Blow, row: number): boolean {
  return Math.abs(spikes[0]!.finding.row - row) < blowRows;
}

function loneSpikes(last: Blow | undefined): number {
  if (!last) return 0;
  return last.before + (last.slot < 0 ? last.spikes.length : 0);
}

/**
 * Whether so many cells spike together less often by chance than the budget allows false alarms, by Poisson's law: as often
 * as there were spikes in the log so far, and one more.
 */
function isBlow(header: LogHeader, { spikes, before }: Blow): boolean {
  const cells = new Set(spikes.map(({ finding }) => finding.cell)).size;
  if (cells < 2) return false;
  const { row, intervalS = 1 } = spikes[0]!.finding;
  const expected = ((before + 1) * (2 * blowRows - 1)) / (row + 1);
  const surprise = logGamma(cells + 1) - cells * Math.log(expected);
  return surprise >= neededSurprise(header.detection.falseAlarmHours, 1 / intervalS, 'together');
}

function tellBlow(header: LogHeader, frame: PlateFrame, ledger: LedgerState, blow: Blow): void {
  const spikes = blow.spikes.map(({ finding }) => finding).sort((a, b) => b.sigmas - a.sigmas || a.cell - b.cell);
  const event = strikeOf(header, frame, spikes);
  const size = Math.max(...spikes.map((spike) => Math.abs(spike.size)));
  if (blow.slot < 0) blow.slot = addEvent(ledger, header, event, spikes[0]!.cell, size).slot;
  else reviseEvent(ledger, blow.slot, { ...event, id: ledger.entries[blow.slot]!.event.id }, size);
}

/**
 * A change of the metal that began with a blow and is told as such is known better than the spikes; these are part of a
 * strike, however few they are.
 */
export function yieldToChange(ledger: LedgerState, { spikes, slot }: Blow): void {
  const metal = metalAbout(ledger, spikes[0]!.finding.row, blowRows, slot);
  yieldEvent(ledger, slot, 'strike', metal.length > 0);
  const struck = slot >= 0 || metal.some(({ kind }) => kind === 'strike');
  for (const spike of spikes) yieldEvent(ledger, spike.slot, 'spike', struck);
}

function inRecoat({ phase }: SensorFinding): boolean {
  return phases[phase ?? -1] === 'recoat';
}

/** `spikes`: the clearest first. */
function strikeOf(header: LogHeader, frame: PlateFrame, spikes: readonly SensorFinding[]): StrainEvent {
  const cells = new Map<number, SensorFinding>();
  for (const spike of spikes) if (!cells.has(spike.cell)) cells.set(spike.cell, spike);
  const recoating = spikes.every(inRecoat);
  const common = isCommon(frame.cells.length, cells.size);
  const facts = { header, spikes, cells: cells.size, plateCells: frame.cells.length, recoating, common };
  return {
    ...sensorEvent(header, spikes[0]!),
    nature: 'mechanical',
    kind: 'strike',
    severity: 'warning',
    // So short a thing has no shape that could tell the blade from the instrument.
    sure: recoating && !common,
    channels: [],
    cells: [...cells.values()].map((spike): CellChange => {
      const plane = header.channels[spike.channels[0]!]!.plane;
      const { cell, sigmas } = spike;
      return { cell, plane, change: [NaN, NaN, NaN], turnDeg: NaN, turnErrorDeg: NaN, sigmas };
    }),
    evidence: blowEvidence(facts),
    message: blowMessage(facts),
  };
}
