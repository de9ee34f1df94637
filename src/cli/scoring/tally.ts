// Sums up matchings over any number of logs: recall by size, delay, false alarms per hour, place error, kinds told apart.
import type { TrueEvent } from '../simulation/truth.ts';
import type { Detection } from './detection.ts';
import { medianInterval, proportion, rate } from './intervals.ts';
import type { Interval } from './intervals.ts';
import { matchEvents, matchWindow } from './match.ts';

export interface ScoredLog {
  readonly truth: readonly TrueEvent[];
  readonly reports: readonly Detection[];
  readonly durationS: number;
  readonly rateHz: number;
  /** Median distance of neighbouring cells, metres; NaN with one cell. */
  readonly pitchM: number;
}

export interface Answer {
  readonly event: TrueEvent;
  /** Undefined where missed. */
  readonly report: Detection | undefined;
  readonly delayS: number;
  readonly delaySamples: number;
  readonly placeErrorM: number;
  readonly placeErrorPitches: number;
}

export interface Tally {
  readonly hours: number;
  readonly answers: readonly Answer[];
  /** Mechanical reports of what did not happen or was not mechanical. */
  readonly falseMechanical: number;
  readonly falseOther: number;
  /** Of all false reports, those at whose time and place nothing happened. */
  readonly fromNothing: number;
  readonly repeats: number;
}

export function tally(logs: readonly ScoredLog[]): Tally {
  const answers: Answer[] = [];
  let [hours, falseMechanical, falseOther, fromNothing, repeats] = [0, 0, 0, 0, 0];
  for (const log of logs) {
    const matching = matchEvents(log.truth, log.reports, matchWindow(log.rateHz));
    hours += log.durationS / 3600;
    log.truth.forEach((event, i) => {
      const report = log.reports[matching.answers[i]!];
      answers.push(answerOf(event, report, log));
      if (report?.nature === 'mechanical' && event.nature !== 'mechanical') falseMechanical++;
    });
    for (const r of matching.falseReports) {
      if (log.reports[r]!.nature === 'mechanical') falseMechanical++;
      else falseOther++;
    }
    fromNothing += matching.fromNothing.length;
    repeats += matching.repeats.length;
  }
  return { hours, answers, falseMechanical, falseOther, fromNothing, repeats };
}

function answerOf(event: TrueEvent, report: Detection | undefined, log: ScoredLog): Answer {
  const delayS = report ? report.detectedTimeS - event.timeS : NaN;
  const placeErrorM =
    report && event.nature === 'mechanical'
      ? Math.hypot(report.originM[0] - event.originM[0], report.originM[1] - event.originM[1])
      : NaN;
  return {
    event,
    report,
    delayS,
    // Rows that had to come in: the row that first holds the change counts as 1.
    delaySamples: Math.max(0, Math.floor(delayS * log.rateHz + 1e-6)) + 1,
    placeErrorM,
    placeErrorPitches: placeErrorM / log.pitchM,
  };
}

/** Reported as an event of its own nature. */
export function found({ event, report }: Answer): boolean {
  return report?.nature === event.nature;
}

/** Reported with its right kind. */
function named({ event, report }: Answer): boolean {
  return report?.nature === event.nature && report.kind === event.kind;
}

export function recall(answers: readonly Answer[]): Interval & { readonly hits: number; readonly trials: number } {
  const hits = answers.filter(found).length;
  return { ...proportion(hits, answers.length), hits, trials: answers.length };
}

/** Over what was found; NaN without bounds where nothing was. */
export function medianOf(answers: readonly Answer[], value: (answer: Answer) => number): Interval {
  return medianInterval(answers.filter(found).map(value).filter(Number.isFinite));
}

/** Of the mechanical events reported as mechanical, those with the right kind. */
export function kindsRight({ answers }: Tally): Interval & { readonly hits: number; readonly trials: number } {
  const reported = answers.filter((answer) => answer.event.nature === 'mechanical' && found(answer));
  const hits = reported.filter(named).length;
  return { ...proportion(hits, reported.length), hits, trials: reported.length };
}

export function faultsNamed({ answers }: Tally): Interval & { readonly hits: number; readonly trials: number } {
  const faults = answers.filter(({ event }) => event.nature === 'sensor');
  const hits = faults.filter(named).length;
  return { ...proportion(hits, faults.length), hits, trials: faults.length };
}

export function falseMechanicalPerHour({ falseMechanical, hours }: Tally): Interval {
  return rate(falseMechanical, hours);
}

/** Rows: true kinds; columns: reported kinds, `missed` last. Counts. */
export function confusion({ answers }: Tally): Map<string, Map<string, number>> {
  const table = new Map<string, Map<string, number>>();
  for (const { event, report } of answers) {
    const row = table.get(event.kind) ?? new Map<string, number>();
    const as = report ? report.kind || report.nature : 'missed';
    row.set(as, (row.get(as) ?? 0) + 1);
    table.set(event.kind, row);
  }
  return table;
}

/** Bands of size in multiples of one reading's noise, for breaks that last. */
export const sizeBands = [
  { name: 'below 4 sigma', from: 0, to: 4 },
  { name: '4 to 6.5 sigma', from: 4, to: 6.5 },
  { name: '6.5 to 12 sigma', from: 6.5, to: 12 },
  { name: '12 sigma and more', from: 12, to: Infinity },
] as const;

export function inBand({ event }: Answer, band: (typeof sizeBands)[number]): boolean {
  const lasting = event.kind === 'release' || event.kind === 'crack';
  return lasting && event.sigmas >= band.from && event.sigmas < band.to;
}
