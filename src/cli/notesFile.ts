// The notes of a log on disk: `<log>.notes.yaml` beside it. Read with its problems.
import { readFile, readdir } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { emptyNotes } from '../core/notes/notes.ts';
import { parseNotes } from '../core/notes/parseNotes.ts';
import type { NotesReading } from '../core/notes/parseNotes.ts';
import { InputError } from './command.ts';
import { reasonOf } from './writeWhole.ts';

export interface NotesOnDisk extends NotesReading {
  readonly path: string;
  readonly exists: boolean;
}

export function notesPath(logPath: string): string {
  return `${logPath}.notes.yaml`;
}

/** @throws InputError where the file is there but cannot be read. */
export async function readNotesFile(logPath: string): Promise<NotesOnDisk> {
  const path = notesPath(logPath);
  try {
    return { ...parseNotes(await readFile(path, 'utf8')), path, exists: true };
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'ENOENT') {
      throw new InputError(`the notes '${path}' could not be read: ${reasonOf(error)}`);
    }
    return { notes: emptyNotes(basename(logPath), ''), problems: [], writable: true, path, exists: false };
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
    if (!name.endsWith('.notes.yaml') || there.has(name.slice(0, -'.notes.yaml'.length))) continue;
    const text = await readFile(join(folder, name), 'utf8').catch(() => '');
    if (text.includes(fingerprint) && parseNotes(text).notes.fingerprint === fingerprint)
      orphans.push(join(folder, name));
  }
  return orphans.sort();
}
