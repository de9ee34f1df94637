// What belongs to a log stands beside it, under the log's name and an ending.

/** The header of a table that must stay as it is. */
export const headerEnding = '.header.yaml';
/** Notes and verdicts. */
export const notesEnding = '.notes.yaml';

/** What is told of a header beside a log that is there and cannot be read. */
export function unreadableHeader(name: string, error: unknown): Error {
  const reason = error instanceof Error ? error.message : String(error);
  return new Error(`the header beside it, '${name}', cannot be read: ${reason}; mend or remove it`, { cause: error });
}
