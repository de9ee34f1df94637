// The usual interval between samples, followed causally, and what one interval is against it: time going on as usual, a
// gap, or a clock set back. Times in seconds.

export interface PaceState {
  /** Usual interval; 0 while fewer than two rows were seen. */
  intervalS: number;
  lastS: number;
  /** Rows seen. */
  rows: number;
  /** Consecutive intervals that disagree with the usual one in the same way. */
  odd: number;
  oddS: number;
}

export const stepKinds = { usual: 0, gap: 1, back: 2, newRate: 3 } as const;
export type StepKind = (typeof stepKinds)[keyof typeof stepKinds];

/** An interval so many times the usual one is a gap: what came before is no longer what the next sample follows. */
const gapFactor = 20;
/** An interval outside this ratio disagrees with the usual one. */
const oddRatio = 1.5;
/** So many agreeing odd intervals are a new rate. */
const oddRun = 8;

export function newPace(): PaceState {
  return { intervalS: 0, lastS: NaN, rows: 0, odd: 0, oddS: 0 };
}

/** Takes the next row's time. A missing time counts as usual. */
export function nextStep(pace: PaceState, timeS: number): StepKind {
  const interval = timeS - pace.lastS;
  pace.rows++;
  if (Number.isNaN(timeS)) return stepKinds.usual;
  pace.lastS = timeS;
  if (Number.isNaN(interval)) return stepKinds.usual;
  if (interval <= 0) return interval < 0 ? stepKinds.back : stepKinds.usual;
  if (pace.intervalS === 0) {
    pace.intervalS = interval;
    return stepKinds.usual;
  }
  const ratio = interval / pace.intervalS;
  if (ratio < oddRatio && ratio * oddRatio > 1) {
    pace.odd = 0;
    // A running mean over about 64 rows; the first rows count fully.
    pace.intervalS += (interval - pace.intervalS) / Math.min(64, pace.rows);
    return stepKinds.usual;
  }
  const agrees = pace.odd > 0 && interval < pace.oddS * oddRatio && interval * oddRatio > pace.oddS;
  pace.odd = agrees ? pace.odd + 1 : 1;
  pace.oddS = interval;
  if (pace.odd >= oddRun) {
    pace.intervalS = interval;
    pace.odd = 0;
    return stepKinds.newRate;
  }
  return ratio > gapFactor ? stepKinds.gap : stepKinds.usual;
}
