// The notes of one log on disk, `<log>.notes.yaml`: read, watched, and written whole. Every change is made to what stands
// in the file at that moment, so that two editors do not lose each other's; a file with an error is never overwritten.
import * as vscode from 'vscode';
import { notesEnding } from '../core/besideLog.ts';
import { wholeLine, wordsOf } from '../core/problem.ts';
import type { Problem } from '../core/problem.ts';
import { emptyNotes } from '../core/notes/notes.ts';
import type { Notes } from '../core/notes/notes.ts';
import type { NotesReading } from '../core/notes/parseNotes.ts';
import { beside, fileName, versionOf } from './logFile.ts';

export class NotesFile implements vscode.Disposable {
  readonly log: vscode.Uri;
  readonly uri: vscode.Uri;
  #reading: NotesReading;
  /** As read last; undefined where that failed. */
  #text: string | undefined = '';
  #queue: Promise<unknown> = Promise.resolve();
  readonly #changed: (file: NotesFile) => void;
  readonly #watcher: vscode.Disposable;

  /** `changed` is called after each reading that found another text than the last; a file that is not there is ''. */
  constructor(log: vscode.Uri, changed: (file: NotesFile) => void) {
    this.log = log;
    this.uri = beside(log, notesEnding);
    this.#changed = changed;
    this.#reading = { notes: emptyNotes(fileName(log), ''), problems: [], writable: true };
    this.#watcher = this.#watch();
    this.reload();
  }

  get notes(): Notes {
    return this.#reading.notes;
  }

  get reading(): NotesReading {
    return this.#reading;
  }

  /** Why nothing can be written, as far as is known now; '' where it can. */
  get unwritable(): string {
    if (vscode.workspace.fs.isWritableFileSystem(this.uri.scheme) === false) {
      const version = versionOf(this.log);
      return version === ''
        ? 'this log is kept where nothing can be written; note on a copy of it'
        : `this is the ${version} of the log, which stays as it is; open the log's own file and note there`;
    }
    if (this.#reading.writable) return '';
    return `${fileName(this.uri)} has an error and is left as it is; mend it first (see Problems)`;
  }

  reload(): void {
    this.#queue = this.#queue.then(() => this.#read());
  }

  /**
   * Changes the notes and writes them.
   * @throws Error with the remedy where the file cannot be written; it is then as it was.
   */
  change(by: (notes: Notes) => Notes): Promise<void> {
    const done = this.#queue.then(async () => {
      await this.#read();
      if (this.unwritable !== '') throw new Error(this.unwritable);
      const notes = by(this.#reading.notes);
      const { formatNotes } = await import('../core/notes/formatNotes.ts');
      await this.#write(formatNotes(notes));
      await this.#read();
    });
    this.#queue = done.catch(() => undefined);
    return done;
  }

  dispose(): void {
    this.#watcher.dispose();
  }

  /** Never rejects: notes that cannot be read stay as they were known last, and are not written over. */
  async #read(): Promise<void> {
    try {
      const text = await textOf(this.uri);
      if (text === this.#text) return;
      this.#reading = await this.#parse(text);
      this.#text = text;
    } catch (error) {
      const told = error instanceof UnreadableNotes ? error.problem : unreadable(String(error));
      this.#text = undefined;
      this.#reading = { notes: this.notes, problems: [told], writable: false };
    }
    this.#changed(this);
  }

  /** Reading YAML takes a library that a log without notes never loads. */
  async #parse(text: string): Promise<NotesReading> {
    if (text === '') return { notes: emptyNotes(fileName(this.log), ''), problems: [], writable: true };
    const { rereadNotes } = await import('../core/notes/rereadNotes.ts');
    return rereadNotes(text, this.#reading.notes);
  }

  async #write(text: string): Promise<void> {
    const bytes = new TextEncoder().encode(text);
    try {
      if (this.uri.scheme !== 'file') {
        await vscode.workspace.fs.writeFile(this.uri, bytes);
        return;
      }
      // Beside its place and then over it: a reader sees the old file or the new one, never half of one.
      const part = vscode.Uri.joinPath(this.uri, '..', `.${fileName(this.uri)}.part`);
      await vscode.workspace.fs.writeFile(part, bytes);
      await vscode.workspace.fs.rename(part, this.uri, { overwrite: true });
    } catch (error) {
      const reason = wordsOf(error);
      throw new Error(
        `the note could not be saved in ${this.uri.path}: ${reason}. Check that the folder can be written.`,
        { cause: error },
      );
    }
  }

  #watch(): vscode.Disposable {
    const folder = vscode.Uri.joinPath(this.uri, '..');
    const watcher = vscode.workspace.createFileSystemWatcher(new vscode.RelativePattern(folder, fileName(this.uri)));
    const again = (): void => this.reload();
    return vscode.Disposable.from(
      watcher,
      watcher.onDidChange(again),
      watcher.onDidCreate(again),
      watcher.onDidDelete(again),
    );
  }
}

class UnreadableNotes extends Error {
  readonly problem: Problem;
  constructor(problem: Problem) {
    super(problem.message);
    this.problem = problem;
  }
}

/** '' where there are no notes yet. */
async function textOf(uri: vscode.Uri): Promise<string> {
  const bytes = await bytesOf(uri);
  const text = utf8(bytes);
  if (text !== undefined) return text;
  // Decoded all the same, such bytes would be lost when the notes are next written.
  throw new UnreadableNotes({
    range: wholeLine(lineOfBadByte(bytes)),
    severity: 'error',
    code: 'notes-encoding',
    message:
      'The notes are not in UTF-8: this line holds a sign of another encoding. Save the file as UTF-8; until then no note is written.',
  });
}

function utf8(bytes: Uint8Array): string | undefined {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return undefined;
  }
}

async function bytesOf(uri: vscode.Uri): Promise<Uint8Array> {
  try {
    return await vscode.workspace.fs.readFile(uri);
  } catch (error) {
    if (error instanceof vscode.FileSystemError && error.code === 'FileNotFound') return new Uint8Array();
    throw new UnreadableNotes(unreadable(wordsOf(error)));
  }
}

/** Notes that cannot be read must not be taken for none, and written over. */
function unreadable(reason: string): Problem {
  const message = `The notes cannot be read: ${reason}. Check the file's rights; until then no note is written.`;
  return { range: wholeLine(1), severity: 'error', code: 'notes-unreadable', message };
}

/** From 1. No sign of UTF-8 holds the byte of a line end, so each line can be decoded alone. */
function lineOfBadByte(bytes: Uint8Array): number {
  for (let line = 1, start = 0; start <= bytes.length; line++) {
    const newLine = bytes.indexOf(0x0a, start);
    const end = newLine < 0 ? bytes.length : newLine;
    if (utf8(bytes.subarray(start, end)) === undefined) return line;
    start = end + 1;
  }
  return 1;
}
