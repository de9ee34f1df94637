// Pairs what truly happened with what was reported. One report answers one true event: it must begin in the event's time
// (with some slack before, and a window after the event is complete) and at one of its cells or channels.
// Each true event takes the earliest report of its own nature, right or wrong in its kind: the first word is what people act
// on, and a method that says all kinds one after the other must not be right by it. What is left over goes to events unanswered
// (reported, but as something else). Of what remains, a report of the same nature inside an answered event is a repeat;
// all else is false. A mechanical report of something that is not mechanical is a false mechanical alarm in any case.
import type { TrueEvent } from '../simulation/truth.ts';
import type { Detection } from './detection.ts';

export interface MatchWindow {
  /** How early a report may set its onset. */
  readonly beforeS: number;
  /** How long after an event has reached its size a report may still set its onset. */
  readonly afterS: number;
}

export interface Matching {
  /** Index into the reports for each true event, -1 where missed. */
  readonly answers: readonly number[];
  /** Reports that answer nothing. */
  readonly falseReports: readonly number[];
  /** Those of the false reports at whose time and place nothing at all happened. */
  readonly fromNothing: readonly number[];
  readonly repeats: readonly number[];
}

/** Seconds, or samples where those are longer: a slow logger cannot be quicker than its rows. */
export function matchWindow(rateHz: number): MatchWindow {
  return { beforeS: Math.max(5, 3 / rateHz), afterS: Math.max(60, 20 / rateHz) };
}

export function matchEvents(truth: readonly TrueEvent[], reports: readonly Detection[], window: MatchWindow): Matching {
  const answers = truth.map(() => -1);
  const taken = reports.map(() => false);
  // Of those that become known with the same row, the one that began first.
  const order = (a: Detection, b: Detection): number => a.detectedTimeS - b.detectedTimeS || a.timeS - b.timeS;
  const earliest = reports.map((_, i) => i).sort((a, b) => order(reports[a]!, reports[b]!));
  const answer = (fits: (event: TrueEvent, report: Detection) => boolean): void => {
    truth.forEach((event, t) => {
      if (answers[t] !== -1) return;
      const found = earliest.find((r) => !taken[r] && fits(event, reports[r]!) && concerns(event, reports[r]!, window));
      if (found === undefined) return;
      answers[t] = found;
      taken[found] = true;
    });
  };
  answer((event, report) => report.nature === event.nature);
  answer(() => true);
  const rest = earliest.filter((r) => !taken[r]);
  const repeated = (r: number): boolean =>
    truth.some((event) => event.nature === reports[r]!.nature && concerns(event, reports[r]!, window));
  const falseReports = rest.filter((r) => !repeated(r));
  const fromNothing = falseReports.filter((r) => !truth.some((event) => concerns(event, reports[r]!, window)));
  return { answers, repeats: rest.filter(repeated), falseReports, fromNothing };
}

function concerns(event: TrueEvent, report: Detection, window: MatchWindow): boolean {
  const lastS = Math.max(event.timeS, event.fullTimeS, Number.isFinite(event.endTimeS) ? event.endTimeS : -Infinity);
  const inTime =
    report.timeS >= event.timeS - window.beforeS &&
    report.detectedTimeS >= event.timeS - window.beforeS &&
    report.timeS <= lastS + window.afterS;
  return inTime && samePlace(event, report);
}

/** A cell belongs to a break when it changes by at least a tenth of the strongest. */
const feltShare = 0.1;

function samePlace(event: TrueEvent, report: Detection): boolean {
  if (event.nature === 'thermal') return true;
  if (event.nature === 'sensor') {
    if (report.channels.length > 0) return report.channels.some((name) => event.channels.includes(name));
    return report.cells.some((cell) => event.channels.some((name) => name.startsWith(`${cell}_`)));
  }
  if (report.cells.length === 0 && report.channels.length === 0) return true;
  const felt = event.cells.filter(({ change }) => norm(change) >= feltShare * norm(event.cells[0]!.change));
  return felt.some(
    ({ cell }) => report.cells.includes(cell) || report.channels.some((name) => name.startsWith(`${cell}_`)),
  );
}

function norm([ex, ey, gxy]: readonly [number, number, number]): number {
  return Math.hypot(ex, ey, gxy / Math.SQRT2);
}
