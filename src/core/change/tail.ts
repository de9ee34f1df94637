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
}

/** The low level: one look in a hundred passes it under the law. */
export const lowSurprise = -Math.log(0.01);
/** What the law itself is worth: passages to be outvoted by. */
const lawPassages = 15;
/** One excess counts for no more than this, so that an event cannot pass for noise. */
const largestExcess = 12;
/** Memory, in looks: a hundred passages under the law. */
const memoryLooks = 10_000;

export function newTail(): TailState {
  return { looks: 0, passed: 0, excess: 0 };
}

export function countLook(tail: TailState): void {
  if (++tail.looks > memoryLooks) {
    tail.looks *= 0.5;
    tail.passed *= 0.5;
    tail.excess *= 0.5;
  }
}

export function countPassage(tail: TailState, surprise: number): void {
  tail.passed++;
  const excess = surprise - lowSurprise;
  tail.excess += excess > largestExcess ? largestExcess : excess;
}

/** The surprise restated by the learned tail. Never larger than the law's own by more than the shrinkage allows. */
export function restated(tail: TailState, surprise: number): number {
  const rate = (lawPassages + tail.passed) / (lawPassages + tail.looks * Math.exp(-lowSurprise));
  const mean = (lawPassages + tail.excess) / (lawPassages + tail.passed);
  return lowSurprise - Math.log(rate) + (surprise - lowSurprise) / mean;
}
