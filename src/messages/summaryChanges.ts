// A summary crosses whole once; from then on what differs, since its header and list of series are large and seldom change.
import type { LogSummary } from './analysis.ts';

/** The first one told holds everything. */
export type SummaryChanges = Partial<LogSummary>;

/** What of `now` the other end, which has `told`, does not know yet. Lists are the same where their entries are. */
export function summaryChanges(told: LogSummary | undefined, now: LogSummary): SummaryChanges {
  if (!told) return now;
  const differs = (key: string): boolean => !same(told[key as keyof LogSummary], now[key as keyof LogSummary]);
  return Object.fromEntries(Object.entries(now).filter(([key]) => differs(key)));
}

/** Undefined where the changes are of a summary that this end has never been told. */
export function changedSummary(told: LogSummary | undefined, changes: SummaryChanges): LogSummary | undefined {
  const whole = told ?? (changes.name === undefined ? undefined : (changes as LogSummary));
  return whole && { ...whole, ...changes };
}

/** Whether no more has changed than how far the log is read. */
export function isMereProgress(changes: SummaryChanges): boolean {
  return Object.keys(changes).every((key) => key === 'progress' || key === 'rows');
}

function same(one: unknown, other: unknown): boolean {
  if (!Array.isArray(one) || !Array.isArray(other)) return Object.is(one, other);
  return one.length === other.length && one.every((entry, i) => Object.is(entry, other[i]));
}
