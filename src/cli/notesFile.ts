// The notes of a log on disk, which stand beside it. Read with their problems.
import { readdir } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { notesEnding } from '../core/besideLog.ts';
import { emptyNotes } from '../core/notes/notes.ts';
import { parseNotes } from '../core/notes/parseNotes.ts';
import type { NotesReading } from '../core/notes/parseNotes.ts';
import { textOfFile } from '../worker/besideFile.ts';
import { InputError } from './command.ts';
import { reasonOf } from './writeWhole.ts';

export interface NotesOnDisk extends NotesReading {
  readonly path: string;
  readonly exists: boolean;
}

export function notesPath(logPath: string): string {
  return `${logPath}${notesEnding}`;
}

/** @throws InputError where the file is there but cannot be read. */
export async function readNotesFile(logPath: string): Promise<NotesOnDisk> {
  const path = notesPath(logPath);
  try {
    const text = await textOfFile(path);
    if (text !== undefined) return { ...parseNotes(text), path, exists: true };
    return { notes: emptyNotes(basename(logPath), ''), problems: [], writable: true, path, exists: false };
  } catch (error) {
    throw new InputError(`the notes '${path}' could not be read: ${reasonOf(error)}`);
  }
}

/** Notes files in the log's folder whose own log is gone but whose fingerprint is this log's: it was renamed. */
export async function orphanNotes(logPath: string, fingerprint: string): Promise<string[]> {
  if (fingerprint === '') return [];
  const folder = dirname(logPath);
  const names = await readdir(folder).catch(() => [] as string[]);
  const there = new Set(names);
  const orphans: string[] = [];
  for (const name of names) {
    if (!name.endsWith(notesEnding) || there.has(name.slice(0, -notesEnding.length))) continue;
    const text = (await textOfFile(join(folder, name)).catch(() => undefined)) ?? '';
    if (text.includes(fingerprint) && parseNotes(text).notes.fingerprint === fingerprint)
      orphans.push(join(folder, name));
  }
  return orphans.sort();
}
