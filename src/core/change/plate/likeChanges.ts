// Logs without layers: the cycle of the build is not known there by its places, but what it does comes again and again, in
// the same cells, and there and back in turn. Breaks do not. So what a cell has done alike more than once before is no sure
// break. Plain data: part of the plate stage's state.
import { blockShapes } from '../noise/blockShapes.ts';
import type { ChangeFinding } from '../findings.ts';

/** What a cell was sure of before: strain per channel and its standard error. */
interface PastChange {
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
  const { cell, layer, stage, soloEvidence, row, timeS, delta, deltaError } = finding;
  if (stage !== 'confirmed' || layer === layer || soloEvidence > 0) return;
  const recent = (past[cell] ?? []).filter((change) => timeS - change.timeS <= memoryS).slice(1 - memoryChanges);
  past[cell] = [...recent, { row, timeS, delta, deltaError }];
}

/** The cell changed alike, or back, several times not long before. */
export function comesAgain(past: PastChanges, finding: ChangeFinding): boolean {
  const { cell, row, timeS, layer } = finding;
  if (layer === layer) return false;
  const before = (past[cell] ?? []).filter(
    (change) => change.row < row - apartRows && timeS - change.timeS <= memoryS && isAlike(change, finding),
  );
  return before.length >= fewest;
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
export function isEarly({ layer, row, intervalS }: ChangeFinding): boolean {
  return Number.isNaN(layer) && (row < earlyRows || row * intervalS < earlyS);
}

/** Layers last a quarter of a minute to a few minutes: after so long the tests have seen the steps of several at least. */
const earlyS = 1200;
