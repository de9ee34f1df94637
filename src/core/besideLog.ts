// The name of a log, and what belongs to it: that stands beside it, under the log's name and an ending.
import { wordsOf } from './problem.ts';

/** A log with its header in it. */
export const logEnding = '.strain.csv';
/** The header of a table that must stay as it is. */
export const headerEnding = '.header.yaml';
/** Notes and verdicts. */
export const notesEnding = '.notes.yaml';

/** Whether the name of a file says that it is a log with its header in it. */
export function isLogName(name: string): boolean {
  return name.toLowerCase().endsWith(logEnding);
}

/** `release` of `release.strain.csv`; any other name as it is. */
export function logStem(name: string): string {
  return isLogName(name) ? name.slice(0, -logEnding.length) : name;
}

/** What is told of a header beside a log that is there and cannot be read. */
export function unreadableHeader(name: string, error: unknown): Error {
  const reason = wordsOf(error);
  return new Error(`the header beside it, '${name}', cannot be read: ${reason}; mend or remove it`, { cause: error });
}
