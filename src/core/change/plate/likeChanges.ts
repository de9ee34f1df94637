// Logs without layers: the cycle of the build is not known there by its places, but what it does comes again and again, in
// the same cells, and there and back in turn. Breaks do not. So what a cell has done alike more than once before is no sure
// break. Plain data: part of the plate stage's state.
import { blockShapes } from '../noise/blockShapes.ts';
import type { ChangeFinding } from '../findings.ts';
import type { Member } from './incident.ts';

/** What a cell was sure of before: strain per channel and its standard error. */
interface PastChange {
  /** The cell's own number of it. */
  readonly serial: number;
  /** Place in the list of events of the one that tells or counts it; -1 for none. */
  slot: number;
  readonly row: number;
  readonly timeS: number;
  readonly delta: readonly number[];
  readonly deltaError: readonly number[];
}

/** By cell, oldest first. */
export type PastChanges = Record<number, PastChange[]>;

/** A layer lasts some minutes at most, so its steps come back several times within so many seconds. */
const memoryS = 1800;
/** Changes remembered per cell: as many as the layers of a quarter of a minute have steps in a few minutes. */
const memoryChanges = 32;
/** One change may be like a break by chance; so many are a cycle. */
const fewest = 2;
/** What began within so many rows is still a part of the same change. */
const apartRows = 24;
/** Along the same line, in units of their errors: 45 degrees either way. */
const alikeCosine = Math.SQRT1_2;
/** And of a like size: no two layers pull alike, but none pulls three times as hard. */
const alikeSize = 3;

/** Remembers a change of a log without layers. One that a channel could have made alone says nothing of the build. */
export function rememberChange(past: PastChanges, finding: ChangeFinding): void {
  const { cell, layer, stage, soloEvidence, serial, row, timeS, delta, deltaError } = finding;
  if (stage !== 'confirmed' || layer === layer || soloEvidence > 0) return;
  const recent = (past[cell] ?? []).filter((change) => timeS - change.timeS <= memoryS).slice(1 - memoryChanges);
  past[cell] = [...recent, { serial, slot: -1, row, timeS, delta, deltaError }];
}

/** The cell changed alike, or back, several times not long before. */
export function comesAgain(past: PastChanges, finding: ChangeFinding): boolean {
  return alikeBefore(past, finding).length >= fewest;
}

/** Remembers where the changes of these members were first told, or counted. */
export function noteTold(past: PastChanges, members: readonly Member[], slot: number): void {
  for (const change of members.flatMap((m) => recordsOf(past, m))) if (change.slot < 0) change.slot = slot;
}

/**
 * Places in the list of the events that told what the surest of these cells did alike before, oldest first: where that is known
 * to come again, or nothing is known of the build's cycle yet. None where one of those that are sure did not.
 */
export function toldAlike(past: PastChanges, [surest, ...others]: readonly Member[]): readonly number[] {
  return others.every((m) => !m.confirmed || slotsOf(past, m.finding).length > 0) ? slotsOf(past, surest!.finding) : [];
}

/** A cell is sure only since the others were counted, of what it did not do before. */
export function isNews(past: PastChanges, member: Member): boolean {
  return recordsOf(past, member).some(({ slot }) => slot < 0) && slotsOf(past, member.finding).length === 0;
}

function slotsOf(past: PastChanges, finding: ChangeFinding): readonly number[] {
  const alike = alikeBefore(past, finding);
  if (alike.length < (isEarly(finding) ? 1 : fewest)) return [];
  return alike.map(({ slot }) => slot).filter((slot) => slot >= 0);
}

function recordsOf(past: PastChanges, { finding, serials }: Member): readonly PastChange[] {
  return (past[finding.cell] ?? []).filter(({ serial }) => serials.includes(serial));
}

function alikeBefore(past: PastChanges, finding: ChangeFinding): readonly PastChange[] {
  const { cell, row, timeS, layer } = finding;
  if (layer === layer) return [];
  return (past[cell] ?? []).filter(
    (change) => change.row < row - apartRows && timeS - change.timeS <= memoryS && isAlike(change, finding),
  );
}

function isAlike(a: PastChange, b: ChangeFinding): boolean {
  let ab = 0;
  let aa = 0;
  let bb = 0;
  for (let j = 0; j < a.delta.length; j++) {
    const x = a.delta[j]!;
    const y = b.delta[j]!;
    const error = Math.max(a.deltaError[j]!, b.deltaError[j]!);
    // A channel that was missing at one of them, or has no error, tells nothing.
    if (!(error > 0) || Number.isNaN(x) || Number.isNaN(y)) continue;
    ab += (x * y) / error ** 2;
    aa += (x / error) ** 2;
    bb += (y / error) ** 2;
  }
  const isNear = Math.max(aa, bb) <= alikeSize ** 2 * Math.min(aa, bb);
  return isNear && Math.abs(ab) >= alikeCosine * Math.sqrt(aa * bb);
}

/** Rows until the longest test has seen its blocks full once. */
const earlyRows = Math.max(...blockShapes.map(({ length, before }) => length + before));

/** Where no layers are told, nothing is known of the build's cycle at first: its steps come as news. */
export function isEarly({ layer, row, intervalS }: Pick<ChangeFinding, 'layer' | 'row' | 'intervalS'>): boolean {
  return Number.isNaN(layer) && (row < earlyRows || row * intervalS < earlyS);
}

/** Layers last a quarter of a minute to a few minutes: after so long the tests have seen the steps of several at least. */
const earlyS = 1200;
