// Blows that are over within a sample or two. A cell feels one as a sample that stands off in all its channels, or sees spikes
// of its channels and no more. Several cells at the same instant are no matter of a channel: together they are a strike.
import type { LogHeader } from '../../header/logHeader.ts';
import { neededSurprise } from '../noise/budget.ts';
import type { BlowFinding, SensorFinding } from '../findings.ts';
import { blowSize, strikeOf } from './blowEvent.ts';
import { commonShare, learnTogether, noGatherings, restated } from './conviction.ts';
import type { TogetherTail } from './conviction.ts';
import { isShared } from './incident.ts';
import { logGamma } from '../noise/laws.ts';
import { addEvent, countIn, metalAbout, reviseEvent, spikesAbout, withdrawEvent, yieldEvent } from './ledger.ts';
import type { LedgerState } from './ledger.ts';
import type { PlateFrame } from './plateFrame.ts';
import { pooledSurprise } from './pooling.ts';
import { rememberSpike, usualSlot } from './usualSpikes.ts';
import type { PastSpikes } from './usualSpikes.ts';
import { tellSensor } from './sensorEvents.ts';

export interface Blow {
  /** Spikes that began together, and their places in the list of events. */
  spikes: { finding: SensorFinding; slot: number }[];
  /** Cells that felt a blow then. */
  felt: BlowFinding[];
  /** Row of the first of them. */
  row: number;
  /** Place of the strike told of them, -1 while none is. */
  slot: number;
  /** Surprise of all cells that felt it. */
  pooled: number;
  /** Spikes of the log before these that were no blow; how far cells go together in what is none. */
  before: number;
  together: TogetherTail;
}

/** The blade passes the cells of its row within so many rows, as a change does that is felt by several. */
const blowRows = 2;

/** Tells a spike, or the blow that it is part of, or counts one that is usual. `last`: those before; answers with those that began with this one. */
export function tellSpike(
  header: LogHeader,
  frame: PlateFrame,
  ledger: LedgerState,
  last: Blow | undefined,
  past: PastSpikes,
  finding: SensorFinding,
): Blow {
  const blow = blowOf(last, finding.row);
  const usual = usualSlot(past, frame, ledger, finding);
  if (usual >= 0) countIn(ledger, usual);
  const slot = usual < 0 ? tellSensor(header, ledger, finding) : -1;
  rememberSpike(past, finding, slot);
  blow.spikes.push({ finding, slot });
  judge(header, frame, ledger, blow, finding);
  return blow;
}

/** Takes what one cell felt: `judgeFelt` tells it. */
export function takeFelt(last: Blow | undefined, finding: BlowFinding): Blow {
  const blow = blowOf(last, finding.row);
  blow.felt.push(finding);
  return blow;
}

/** Once a row, when all that cells felt by then is known. */
export function judgeFelt(
  header: LogHeader,
  frame: PlateFrame,
  ledger: LedgerState,
  blow: Blow,
  knownRow: number,
): void {
  const news = blow.felt.findLast((finding) => finding.knownRow === knownRow);
  if (news) judge(header, frame, ledger, blow, news);
}

function blowOf(last: Blow | undefined, row: number): Blow {
  if (last && Math.abs(last.row - row) < blowRows) return last;
  return { spikes: [], felt: [], row, slot: -1, pooled: 0, ...learned(last) };
}

function judge(
  header: LogHeader,
  frame: PlateFrame,
  ledger: LedgerState,
  blow: Blow,
  news: SensorFinding | BlowFinding,
): void {
  if (isFelt(header, frame, blow) || isBlow(header, blow)) tellBlow(header, frame, ledger, blow, news);
  else if (blow.slot >= 0) {
    // So many cells have come since that it is none.
    withdrawEvent(ledger, blow.slot);
    blow.slot = -1;
  }
  yieldToChange(ledger, blow);
}

function learned(last: Blow | undefined): Pick<Blow, 'before' | 'together'> {
  if (!last) return { before: 0, together: noGatherings };
  const { before, together, spikes, pooled, slot } = last;
  if (slot >= 0) return { before, together };
  return { before: before + spikes.length, together: learnTogether(together, pooled) };
}

/** Whether one cell is sure of a blow, or what several felt is enough by Fisher's method. */
function isFelt(header: LogHeader, { cells }: PlateFrame, blow: Blow): boolean {
  const { felt, together } = blow;
  if (felt.some(({ alone }) => alone)) return true;
  // What much of the plate does at the same time, or all fibres alike, is noise that the cells share, not several witnesses.
  if (felt.length < 2 || isShared(felt)) return false;
  if (cells.length > 4 && felt.length > commonShare * cells.length) return false;
  const surprises = felt.map(({ surprise }) => surprise);
  blow.pooled = pooledSurprise(surprises, 2 * blowRows - 1, cells.length);
  const perSecond = cells.length / felt[0]!.intervalS;
  return restated(together, blow.pooled) >= neededSurprise(header.detection.falseAlarmHours, perSecond, 'blows');
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

function tellBlow(
  header: LogHeader,
  frame: PlateFrame,
  ledger: LedgerState,
  blow: Blow,
  news: SensorFinding | BlowFinding,
): void {
  const spikes = blow.spikes.map(({ finding }) => finding);
  const size = Math.max(...blow.felt.map(blowSize), ...spikes.map((spike) => Math.abs(spike.size)));
  const told = ledger.entries[blow.slot]?.event;
  const { detectedRow, detectedTimeS } = told ?? { detectedRow: news.knownRow, detectedTimeS: news.knownTimeS };
  const event = { ...strikeOf(header, frame, blow.felt, spikes), detectedRow, detectedTimeS };
  if (told) reviseEvent(ledger, blow.slot, { ...event, id: told.id }, size);
  else blow.slot = addEvent(ledger, header, event, event.cells[0]!.cell, size).slot;
}

/**
 * A change of the metal that began with a blow and is told as such is known better than the spikes; these are part of a
 * strike, however few they are.
 */
export function yieldToChange(ledger: LedgerState, { spikes, felt, row, slot }: Blow): void {
  const metal = metalAbout(ledger, row, blowRows, slot);
  yieldEvent(ledger, slot, 'strike', metal.length > 0);
  const struck = slot >= 0 || metal.some(({ kind }) => kind === 'strike');
  for (const spike of spikes) yieldEvent(ledger, spike.slot, 'spike', struck);
  // A cell that felt a blow may have told its way there and back as a change, and that as one of a channel.
  const cells = felt.map(({ cell }) => cell);
  for (const spike of spikesAbout(ledger, row, blowRows, cells)) yieldEvent(ledger, spike, 'spike', struck);
}
