// What belongs to a log stands beside it, under the log's name and an ending.

/** The header of a table that must stay as it is. */
export const headerEnding = '.header.yaml';
/** Notes and verdicts. */
export const notesEnding = '.notes.yaml';
