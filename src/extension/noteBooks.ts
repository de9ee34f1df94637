// The notes of every open log, with the places where their threads stand now. One source for the text's comments, the
// view's marks and the commands.
import * as vscode from 'vscode';
import type { ResolvedAnchor } from '../core/notes/anchor.ts';
import { addRemark, addThread, setLog, setVerdict, threadId } from '../core/notes/editNotes.ts';
import type { NewThread } from '../core/notes/editNotes.ts';
import type { Notes, Remark, Thread, Verdict } from '../core/notes/notes.ts';
import { wordsOf } from '../core/problem.ts';
import type { NoteMark } from '../messages/view.ts';
import { fileName } from './logFile.ts';
import { unreadReason } from './logs.ts';
import type { Logs, OpenLog } from './logs.ts';
import { anchorAt, fingerprintOf, placesOf } from '../worker/noteAnchors.ts';
import type { LogReader } from '../worker/noteAnchors.ts';
import { isUnderWay } from '../messages/analysis.ts';
import type { AnalysisCalls } from '../messages/analysis.ts';
import { authorOf } from './noteAuthor.ts';
import { NotesFile } from './notesFile.ts';
import { problemDiagnostic } from './diagnostics.ts';

/** A thread and where it stands. */
export interface PlacedThread {
  readonly thread: Thread;
  readonly place: ResolvedAnchor;
}

interface Book {
  readonly file: NotesFile;
  placed: readonly PlacedThread[];
  /** What the places were found for: they are looked up again when any of it is another, or rows are gone. */
  placedNotes: Notes | undefined;
  placedBy: AnalysisCalls | undefined;
  placedReading: number;
  placedRows: number;
  busy: boolean;
}

export class NoteBooks implements vscode.Disposable {
  readonly #logs: Logs;
  readonly #books = new Map<string, Book>();
  readonly #change = new vscode.EventEmitter<vscode.Uri>();
  readonly #problems = vscode.languages.createDiagnosticCollection('underplate-notes');
  readonly #listeners: vscode.Disposable;

  /** Threads of this log came, went, changed or moved. */
  readonly onDidChange = this.#change.event;

  constructor(logs: Logs) {
    this.#logs = logs;
    this.#listeners = vscode.Disposable.from(
      logs.onDidChange((log) => this.#look(log)),
      logs.onDidClose((uri) => this.#close(uri)),
    );
    logs.all().forEach((log) => this.#look(log));
  }

  placed(log: vscode.Uri): readonly PlacedThread[] {
    return this.#books.get(log.toString())?.placed ?? [];
  }

  /** Changes the notes of a log; says so where it cannot. Answers whether it was done. */
  async change(log: vscode.Uri, by: (notes: Notes) => Notes): Promise<boolean> {
    try {
      const book = this.#books.get(log.toString());
      if (!book) throw new Error('the log is not open');
      const reader = readerOf(this.#logs.get(log));
      const fingerprint = reader ? await fingerprintOf(reader) : '';
      await book.file.change((notes) => by(fingerprint === '' ? notes : setLog(notes, fileName(log), fingerprint)));
      return true;
    } catch (error) {
      void vscode.window.showErrorMessage(wordsOf(error));
      return false;
    }
  }

  /** Hangs a remark on a line (from 1), in the thread that is there or a new one. Answers with the thread's id. */
  async addRemarkAt(
    log: vscode.Uri,
    line: number,
    about: Pick<NewThread, 'cell' | 'event'>,
    text: string,
  ): Promise<string | undefined> {
    const at = await this.threadAt(log, line, about);
    return at && this.addRemarkTo(log, at, text);
  }

  async addRemarkTo(log: vscode.Uri, at: NewThread, text: string): Promise<string | undefined> {
    const remark = await newRemark(log, text);
    const id = threadId(at);
    const done = await this.change(log, (notes) => addRemark(addThread(notes, at), id, remark));
    return done ? id : undefined;
  }

  async replyTo(log: vscode.Uri, id: string, text: string): Promise<boolean> {
    const remark = await newRemark(log, text);
    return this.change(log, (notes) => addRemark(notes, id, remark));
  }

  /** Judges in the thread that is there, or a new one. */
  async judge(log: vscode.Uri, thread: string | NewThread, verdict: Verdict | ''): Promise<void> {
    const given = await signature(log);
    await this.change(log, (notes) =>
      typeof thread === 'string'
        ? setVerdict(notes, thread, verdict, given)
        : setVerdict(addThread(notes, thread), threadId(thread), verdict, given),
    );
  }

  /** What a thread on this line would be; says so where the line can carry none, or none could be kept. */
  async threadAt(
    log: vscode.Uri,
    line: number,
    about: Pick<NewThread, 'cell' | 'event'>,
  ): Promise<NewThread | undefined> {
    const open = this.#logs.get(log);
    const reader = readerOf(open);
    const broken = this.#books.get(log.toString())?.file.unwritable ?? '';
    const anchor = reader && broken === '' && (await anchorAt(line, reader));
    if (anchor) return { anchor, ...about };
    const reason = broken || (reader ? `line ${line} holds no row` : unreadReason(open?.summary));
    void vscode.window.showErrorMessage(`No note can be hung here: ${reason}.`);
    return undefined;
  }

  /** The threads as the view shows them. */
  marks(log: vscode.Uri): readonly NoteMark[] {
    const cells = this.#logs.get(log)?.summary?.header?.cells ?? [];
    return this.placed(log).map(({ thread, place }) => ({
      timeS: Number.isNaN(place.timeS) ? thread.anchor.timeS : place.timeS,
      line: place.line,
      cell: cells.findIndex(({ name }) => name === thread.cell),
      eventId: thread.event,
      verdict: thread.verdict,
      text: thread.remarks[0]?.text ?? thread.cause,
    }));
  }

  dispose(): void {
    this.#listeners.dispose();
    this.#books.forEach(({ file }) => file.dispose());
    this.#books.clear();
    this.#problems.dispose();
    this.#change.dispose();
  }

  #look(log: OpenLog): void {
    const key = log.uri.toString();
    const known = this.#books.get(key);
    if (known) {
      void this.#place(known);
      return;
    }
    const file = new NotesFile(log.uri, (changed) => this.#noteChange(changed));
    this.#books.set(key, {
      file,
      placed: [],
      placedNotes: undefined,
      placedBy: undefined,
      placedReading: 0,
      placedRows: -1,
      busy: false,
    });
  }

  #noteChange(file: NotesFile): void {
    const book = this.#books.get(file.log.toString());
    // The log may have been closed while its notes were read, and opened again with a file of its own.
    if (book?.file !== file) return;
    this.#problems.set(file.uri, file.reading.problems.map(problemDiagnostic));
    void this.#place(book);
  }

  /** Finds the threads' places anew where the notes are others, or the log was read anew since. */
  async #place(book: Book): Promise<void> {
    const { file } = book;
    const reader = readerOf(this.#logs.get(file.log));
    if (!reader || book.busy || isUnderWay(reader.summary.state)) return;
    const { calls } = reader;
    const { reading, rows } = reader.summary;
    const known = book.placedNotes === file.notes && book.placedBy === calls && book.placedReading === reading;
    // Rows that one reading takes in as they are appended move no thread that has its place.
    const appended = known && (rows === book.placedRows || (rows > book.placedRows && book.placedRows > 0));
    Object.assign(book, { placedNotes: file.notes, placedBy: calls, placedReading: reading, placedRows: rows });
    if (appended) return;
    book.busy = true;
    try {
      const { threads } = file.notes;
      const places = await placesOf(threads, reader);
      book.placed = threads.map((thread, index) => ({ thread, place: places[index]! }));
      this.#change.fire(file.log);
    } catch {
      // Replaced meanwhile, or not to be asked any more: the next summary brings us here again. Not before: one that fails
      // at once would be asked without end.
      book.placedRows = -1;
    } finally {
      book.busy = false;
    }
    if (book.placedNotes !== file.notes || book.placedBy !== this.#logs.get(file.log)?.calls) void this.#place(book);
  }

  #close(uri: vscode.Uri): void {
    const book = this.#books.get(uri.toString());
    if (!book) return;
    book.file.dispose();
    this.#problems.delete(book.file.uri);
    this.#books.delete(uri.toString());
    this.#change.fire(uri);
  }
}

async function newRemark(log: vscode.Uri, text: string): Promise<Omit<Remark, 'extra'>> {
  return { ...(await signature(log)), text };
}

/** Who writes, and when that is. */
async function signature(log: vscode.Uri): Promise<Pick<Remark, 'date' | 'by'>> {
  return { date: `${new Date().toISOString().slice(0, 19)}Z`, by: await authorOf(log) };
}

function readerOf(log: OpenLog | undefined): LogReader | undefined {
  const { summary, calls } = log ?? {};
  return summary?.header && calls ? { summary, header: summary.header, calls } : undefined;
}
