// Changes of several cells that began together. A gathering holds one entry per cell; it may hold more than one break,
// if they began at the same time in different places. Plain data: part of the plate stage's state.
import { breakS } from '../durations.ts';
import { sizeShare } from '../confirm/changeShape.ts';
import type { ChangeFinding } from '../findings.ts';

export interface Member {
  /** The latest finding about the change of this cell. */
  finding: ChangeFinding;
  /** The part of a ramp before this one; undefined where there is none. */
  base: ChangeFinding | undefined;
  /** The cell's own numbers of the changes in a row that it consists of. */
  serials: number[];
  /** It grew by one after the other. */
  grows: boolean;
  /** The largest that it was, where a part of it went back since; undefined where none did. */
  peak: ChangeFinding | undefined;
  /** Greatest surprise told of it. */
  surprise: number;
  /** The cell alone was sure. */
  confirmed: boolean;
  /** It was still there some rows after its onset. */
  lasting: boolean;
  /** Row of the way back; -1 while it lasts. */
  endRow: number;
  endTimeS: number;
  /** Phase of the layer on the way back; -1 where unknown. */
  endPhase: number;
}

/** Rows within which a change came: from its first part to the block that saw the last. */
export function spanOf({ finding: { row, partRow, knownRow, length }, serials }: Member): number {
  return serials.length > 1 ? Math.max(length, knownRow - row) : partRow - row + length;
}

/** The one whose change was told most surely; the first of equals. */
export function clearest(members: readonly Member[]): Member {
  return members.reduce((a, b) => (b.surprise > a.surprise ? b : a));
}

/**
 * The one that tells when it began: the clearest, or of a break that took many rows the first that is sure. What was told at
 * `detectedRow` had begun by then, so those that began later do not tell.
 */
export function earliest(members: readonly Member[], detectedRow: number): Member {
  const begun = members.filter((m) => hadBegun(m, detectedRow));
  const sure = begun.filter((m) => m.confirmed);
  const isGradual = sure.some(({ finding }) => finding.partRow > finding.row);
  return isGradual ? sure.reduce((a, b) => (b.finding.row < a.finding.row ? b : a)) : clearest(begun);
}

export function hadBegun({ finding }: Member, row: number): boolean {
  return finding.row <= row;
}

/** A break that has been told. */
export interface Told {
  readonly id: string;
  /** Cell that was strongest when it was told, by which it is recognised. */
  readonly cell: number;
  readonly detectedRow: number;
  readonly detectedTimeS: number;
  /** Place in the list of events; -1 where it is but counted in another. */
  readonly slot: number;
  /** Place of the event that counts it; -1 where it is told by itself. */
  readonly countedIn: number;
}

export interface Gathering {
  members: Member[];
  told: Told[];
  /** It began while the cycle of the layer came at another time than usual, or is that. */
  astray: boolean;
  /** Greatest surprise of its cells taken together, where none was sure. */
  pooled: number;
  /** Row of the last finding. */
  lastRow: number;
}

/** Samples by which onsets of one break may be apart, beside half the lengths of the blocks that saw them. */
const slackRows = 3;

/** A ramp goes on in the same cell when its next part follows within so many samples, and within so many seconds. */
const rampSamples = 200;
const rampS = 200;

/** A change settles for so long, by less than this share of itself: what comes on top of that is another change. */
const settlingSamples = 24;
const settlingS = 24;
const settlingShare = 0.5;

/** Rows within which the next part of a ramp comes. */
export function rampRows({ intervalS }: ChangeFinding, spacing: number): number {
  return Math.max(rampSamples * spacing, rampS / intervalS);
}

/** Rows for which a change settles; what is but suspected is not known so well as to be waited for. */
export function settlingRows({ stage }: ChangeFinding, { intervalS, spacing }: ChangeFinding): number {
  return Math.max(settlingSamples * spacing, stage === 'suspected' ? 0 : settlingS / intervalS);
}

/** The next change of a cell is a part of the one before: of the same ramp, of the same step, or of its settling. */
export function continues(before: ChangeFinding, next: ChangeFinding): boolean {
  if (before.cell !== next.cell) return false;
  if (before.ramp && next.ramp) return next.row - before.knownRow <= rampRows(next, next.spacing);
  if (beganTogether(before, next)) return true;
  return next.row - before.row <= settlingRows(before, next) && settles(before.delta, next.delta);
}

function settles(before: readonly number[], next: readonly number[]): boolean {
  const products = before.map((d, c) => d * next[c]!).filter((product) => !Number.isNaN(product));
  const along = products.reduce((sum, product) => sum + product, 0);
  return along > 0 && sizeShare(next, before) < settlingShare;
}

/** One finding for a change told in parts: the onset of the first, the change of both. `grows`: they are parts of a growth. */
export function joined(before: ChangeFinding, next: ChangeFinding, grows = before.ramp && next.ramp): ChangeFinding {
  const { row, line, timeS, layer, phase } = before;
  // A step is as clear as it was before it settled; of a ramp the latest part tells.
  const { sigmas, soloEvidence, soloChannel } = grows || next.sigmas > before.sigmas ? next : before;
  const sum = next.delta.map((d, c) => d + (before.delta[c] ?? NaN));
  const share = grows ? shareOfSum(before, next, sum) : 1;
  return {
    ...next,
    row,
    line,
    timeS,
    layer,
    phase,
    sigmas,
    soloEvidence,
    soloChannel,
    levelBefore: before.levelBefore,
    // What merely settles is no longer under way.
    partRow: grows ? next.partRow : before.partRow,
    ramp: grows || next.ramp,
    delta: sum.map((d) => share * d),
    temperatureK: before.temperatureK + next.temperatureK,
    usualK: Math.hypot(before.usualK, next.usualK),
    rosettes: next.rosettes.map((r, i) => {
      const earlier = before.rosettes[i]!.change;
      const [ex, ey, gxy] = r.change;
      return { ...r, change: [share * (ex + earlier[0]), share * (ey + earlier[1]), share * (gxy + earlier[2])] };
    }),
  };
}

function beganTogether(a: ChangeFinding, b: ChangeFinding): boolean {
  return Math.abs(a.row - b.row) <= slackOf(a, b);
}

function slackOf(a: ChangeFinding, b: ChangeFinding): number {
  return slackRows + 0.5 * lengthOfBoth(a, b);
}

/** Changes of two cells are of one break: they began together, or one while the other was under way. */
export function onsetsAgree(a: ChangeFinding, b: ChangeFinding): boolean {
  if (beganTogether(a, b)) return true;
  const [first, later] = a.row < b.row ? [a, b] : [b, a];
  if (first.stage === 'suspected') return false;
  const slack = slackOf(a, b);
  return later.row <= first.partRow + (later.stage === 'suspected' ? slack : Math.max(slack, breakS / later.intervalS));
}

/** A brief look that is not sure of itself is no witness of what came slowly, unless it began with it. */
function lengthOfBoth(a: ChangeFinding, b: ChangeFinding): number {
  const [brief, long] = a.length < b.length ? [a, b] : [b, a];
  return brief.spacing < long.spacing && brief.stage === 'suspected' ? brief.length : long.length;
}

/** Parts of a growth overlap, since each goes on while it is measured: how much less than their sum the levels tell. */
function shareOfSum(before: ChangeFinding, next: ChangeFinding, sum: readonly number[]): number {
  let [total, along] = [0, 0];
  sum.forEach((s, c) => {
    const whole = next.levelBefore[c]! + next.delta[c]! - before.levelBefore[c]!;
    if (Number.isNaN(whole * s)) return;
    total += whole * s;
    along += s * s;
  });
  return along > 0 ? Math.max(0, Math.min(1, total / along)) : 1;
}

/** So many cells, and more than half of those that changed, by the same in all their channels to so much of it. */
const sharingCells = 3;
const sameShare = 0.2;

/** A break pulls fibres by their directions and falls off from its place; an instrument that steps does neither. */
export function isShared(members: readonly Pick<ChangeFinding, 'delta'>[]): boolean {
  const deltas = members.map(({ delta }) => delta.filter((d) => !Number.isNaN(d)));
  const sorted = deltas.flat().sort((a, b) => a - b);
  const middle = sorted[sorted.length >> 1] ?? 0;
  const same = deltas.filter((delta) => {
    const squares = delta.reduce((sum, d) => sum + (d - middle) ** 2, 0);
    return delta.length > 1 && squares <= delta.length * (sameShare * middle) ** 2;
  });
  return same.length >= sharingCells && 2 * same.length > members.length;
}
