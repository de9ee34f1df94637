// The usual interval between samples, followed causally, and what one interval is against it: time going on as usual, a
// gap, or a clock set back. Times in seconds.
// Numbers stand first: so the bundler writes them out where they are used, which the inner loop needs.

/** An interval so many times the usual one is a gap: what came before is no longer what the next sample follows. */
const gapFactor = 20;
/** An interval outside this ratio disagrees with the usual one. */
const oddRatio = 1.5;
/** So many agreeing odd intervals are a new rate. */
const oddRun = 8;

/** The usual interval is a running mean over about so many rows; the first rows count fully. */
const meanRows = 64;

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

export function newPace(): PaceState {
  return { intervalS: 0, lastS: NaN, rows: 0, odd: 0, oddS: 0 };
}

/** The usual interval, seconds; a second while it is not known. */
export function usualIntervalS({ intervalS }: PaceState): number {
  return intervalS > 0 ? intervalS : 1;
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
  if (isSteady(interval, pace.intervalS)) {
    pace.odd = 0;
    pace.intervalS += (interval - pace.intervalS) / Math.min(meanRows, pace.rows);
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
  return interval > gapFactor * pace.intervalS ? stepKinds.gap : stepKinds.usual;
}

function isSteady(interval: number, usual: number): boolean {
  return interval < oddRatio * usual && interval * oddRatio > usual;
}

/**
 * The usual interval after each of the rows `from` + 1 ... that go on steadily, into `intervalS[1...]`; the row `from`
 * has been taken already. Answers with the number of rows, that one included, at most `count`; changes nothing.
 */
export function steadyRows(
  pace: PaceState,
  time: Float64Array,
  from: number,
  count: number,
  intervalS: Float64Array,
): number {
  let usual = pace.intervalS;
  let { rows, lastS } = pace;
  intervalS[0] = usual;
  if (!(usual > 0)) return 1;
  for (let k = 1; k < count; k++) {
    const timeS = time[from + k]!;
    const interval = timeS - lastS;
    if (!isSteady(interval, usual)) return k;
    rows++;
    usual += (interval - usual) / (rows < meanRows ? rows : meanRows);
    intervalS[k] = usual;
    lastS = timeS;
  }
  return count;
}

/** Takes some of the rows that `steadyRows` has told, by the time of the last of them and the usual interval there. */
export function takeSteady(pace: PaceState, rows: number, timeS: number, intervalS: number): void {
  pace.rows += rows;
  pace.lastS = timeS;
  pace.odd = 0;
  pace.intervalS = intervalS;
}
