// The notes of one log on disk, `<log>.notes.yaml`: read, watched, and written whole. Every change is made to what stands
// in the file at that moment, so that two editors do not lose each other's; a file with an error is never overwritten.
import * as vscode from 'vscode';
import { notesEnding } from '../core/besideLog.ts';
import { emptyNotes } from '../core/notes/notes.ts';
import type { Notes } from '../core/notes/notes.ts';
import type { NotesReading } from '../core/notes/parseNotes.ts';
import { beside, fileName } from './logFile.ts';

export class NotesFile implements vscode.Disposable {
  readonly log: vscode.Uri;
  readonly uri: vscode.Uri;
  #reading: NotesReading;
  #text = '';
  #queue: Promise<unknown> = Promise.resolve();
  readonly #changed: (file: NotesFile) => void;
  readonly #watcher: vscode.Disposable;

  /** `changed` is called after each reading, the first included. */
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

  reload(): void {
    this.#queue = this.#queue.then(() => this.#read()).catch(() => undefined);
  }

  /**
   * Changes the notes and writes them.
   * @throws Error with the remedy where the file cannot be written; it is then as it was.
   */
  change(by: (notes: Notes) => Notes): Promise<void> {
    const done = this.#queue.then(async () => {
      await this.#read();
      if (!this.#reading.writable) {
        throw new Error(`${fileName(this.uri)} has an error and is left as it is; mend it first (see Problems)`);
      }
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

  async #read(): Promise<void> {
    const text = await textOf(this.uri);
    if (text === this.#text) return;
    this.#text = text;
    this.#reading = await this.#parse(text);
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
      const reason = error instanceof Error ? error.message : String(error);
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

async function textOf(uri: vscode.Uri): Promise<string> {
  try {
    return new TextDecoder().decode(await vscode.workspace.fs.readFile(uri));
  } catch (error) {
    if (error instanceof vscode.FileSystemError && error.code === 'FileNotFound') return ''; // no notes yet
    // Notes that cannot be read must not be taken for none, and written over.
    const reason = error instanceof Error ? error.message : String(error);
    throw new Error(`${fileName(uri)} cannot be read: ${reason}. Check its rights.`, { cause: error });
  }
}
