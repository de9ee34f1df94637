// What a log has to say of its notes: that they lie under the log's old name, or that the rows they hang on are gone or
// read otherwise now. Each is told at its place in the log; the notes are left as they are.
import type { LogHeader } from '../core/header/logHeader.ts';
import { wholeLine } from '../core/problem.ts';
import type { Problem } from '../core/problem.ts';
import type { FileAnalysis } from '../worker/analyseFile.ts';
import { fingerprintOf, placesOf } from '../worker/noteAnchors.ts';
import { shownPath } from './findLogs.ts';
import { notesPath, orphanNotes } from './notesFile.ts';
import type { NotesOnDisk } from './notesFile.ts';

type ReadLog = Pick<FileAnalysis, 'path' | 'summary' | 'calls'> & { readonly header: LogHeader };

export async function noteProblems(log: ReadLog, notes: NotesOnDisk, cwd: string): Promise<Problem[]> {
  return notes.exists ? lostThreads(log, notes) : renamedNotes(log, cwd);
}

/** Notes that hung on this log before it was renamed are named, not taken: a person says whether they still belong. */
async function renamedNotes(log: ReadLog, cwd: string): Promise<Problem[]> {
  const orphans = await orphanNotes(log.path, await fingerprintOf(log));
  return orphans.map((path) => ({
    range: wholeLine(1),
    severity: 'warning',
    code: 'notes-elsewhere',
    message:
      `The notes in '${shownPath(path, cwd)}' were written on this log under another name; ` +
      `rename them to '${shownPath(notesPath(log.path), cwd)}' to use them.`,
  }));
}

async function lostThreads(log: ReadLog, { notes }: NotesOnDisk): Promise<Problem[]> {
  const places = await placesOf(notes.threads, log);
  return notes.threads.flatMap((thread, at): Problem[] => {
    const { state, line } = places[at]!;
    if (state === 'found' || state === 'moved') return [];
    const { anchor, id } = thread;
    const hung = anchor.headerLine > 0 ? `header line ${anchor.headerLine}` : `the row at ${anchor.timeS} s`;
    const what =
      state === 'changed'
        ? `was written on other values: ${hung} reads otherwise now; look whether it still holds.`
        : `has lost its place: ${hung} is no longer in the log.`;
    const code = state === 'changed' ? 'notes-line-changed' : 'notes-line-lost';
    return [{ range: wholeLine(Math.max(1, line)), severity: 'information', code, message: `Note ${id} ${what}` }];
  });
}
