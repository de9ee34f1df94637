// The learned tail of a test statistic. Under Hotelling's law the surprise z = -ln P(T-square > t2) is exponential with
// mean one. Real noise departs from that: more values pass a low level, and those that pass go further. Both are
// measured as the log runs (peaks over a threshold, exponential excess: Pickands 1975 with shape zero), shrunk towards
// the law, and the surprise is restated so that it is again exponential with mean one.

export interface TailState {
  /** Evaluations so far, forgetting. */
  looks: number;
  /** Of these, passages of the low level. */
  passed: number;
  /** Sum of the excesses over the low level. */
  excess: number;
  /** The same since the last two turns: held back, and dropped should a break be confirmed in them. */
  readonly recent: [Passages, Passages];
  /** Excess of the passages in a row just now. */
  run: number;
  /** The look now being counted passed. */
  passing: boolean;
}

interface Passages {
  looks: number;
  passed: number;
  excess: number;
}

/** The low level: one look in a hundred passes it under the law. */
export const lowSurprise = -Math.log(0.01);
/** What the law itself is worth: passages to be outvoted by. */
const lawPassages = 15;
/** What it is worth as to the form of the tail: the tests are of means, whose law is nearer to the normal one. */
const tailPassages = 30;
/** Passages in a row count for no more than this excess, so that a change that was not told cannot pass for noise. */
const largestExcess = 12;
/** Memory, in looks: a hundred passages under the law. */
const memoryLooks = 10_000;
/** Looks are held back for so many looks at least: longer than a break needs to be confirmed. */
const turnLooks = 24;

export function newTail(): TailState {
  return { looks: 0, passed: 0, excess: 0, recent: [noPassages(), noPassages()], run: 0, passing: false };
}

function noPassages(): Passages {
  return { looks: 0, passed: 0, excess: 0 };
}

/** One look more. Where it passed the low level, `countPassage` has gone before. */
export function countLook(tail: TailState): void {
  if (!tail.passing) tail.run = 0;
  tail.passing = false;
  const { recent } = tail;
  if (++recent[1].looks < turnLooks) return;
  const [older, newer] = recent;
  tail.looks += older.looks;
  tail.passed += older.passed;
  tail.excess += older.excess;
  older.looks = newer.looks;
  older.passed = newer.passed;
  older.excess = newer.excess;
  empty(newer);
  if (tail.looks <= memoryLooks) return;
  tail.looks *= 0.5;
  tail.passed *= 0.5;
  tail.excess *= 0.5;
}

export function countPassage(tail: TailState, surprise: number): void {
  const newer = tail.recent[1];
  newer.passed++;
  tail.passing = true;
  const excess = Math.min(surprise - lowSurprise, largestExcess - tail.run);
  tail.run += excess;
  newer.excess += excess;
}

/** A break was confirmed: what was counted of late is not noise. */
export function dropRecent(tail: TailState): void {
  tail.recent.forEach(empty);
  tail.run = 0;
}

function empty(passages: Passages): void {
  passages.looks = 0;
  passages.passed = 0;
  passages.excess = 0;
}

/**
 * The surprise restated by the learned tail. The mean excess is known from so many passages only: what is to be expected
 * of the next one is then Pareto's law (the exponential law, its rate gamma distributed), with a longer tail.
 */
export function restated(tail: TailState, surprise: number): number {
  const passages = lawPassages + tail.passed;
  const rate = passages / (lawPassages + tail.looks * Math.exp(-lowSurprise));
  const mean = (lawPassages + tail.excess) / passages;
  const known = tailPassages + tail.passed;
  const excess = (known + 1) * Math.log1p((surprise - lowSurprise) / (known * mean));
  return lowSurprise - Math.log(rate) + excess;
}
