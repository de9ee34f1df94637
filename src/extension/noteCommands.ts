// What one does with notes: write, reply, edit, judge, state a cause, settle, delete with a way back. From a thread's own
// buttons, from the palette at the cursor, and from the view.
import * as vscode from 'vscode';
import {
  editRemark,
  removeRemark,
  removeThread,
  restoreThread,
  setCause,
  setResolved,
} from '../core/notes/editNotes.ts';
import { verdicts } from '../core/notes/notes.ts';
import type { Notes, Thread, Verdict } from '../core/notes/notes.ts';
import type { StrainEvent } from '../core/change/events.ts';
import type { FromView } from '../messages/view.ts';
import { pickEvent } from './eventList.ts';
import { excerptPlace, isExcerpt, logLine } from './excerpt.ts';
import { askForTime } from './goToTime.ts';
import { isUnsaved, unsavedHint } from './logFile.ts';
import type { Logs } from './logs.ts';
import type { NoteBooks } from './noteBooks.ts';
import { lastRevealed } from './reveal.ts';
import { startEditing, stopEditing } from './noteThreads.ts';
import type { NoteComment, NoteThreads } from './noteThreads.ts';

type NoteNotice = Extract<FromView, { readonly type: 'addNote' | 'judge' }>;

interface Place {
  readonly log: vscode.Uri;
  readonly line: number;
}

export class NoteCommands implements vscode.Disposable {
  readonly #logs: Logs;
  readonly #books: NoteBooks;
  readonly #threads: NoteThreads;
  readonly #activeLog: () => vscode.Uri | undefined;
  readonly #registered: vscode.Disposable;

  /** `activeLog`: the log in front, also where it is its view. */
  constructor(logs: Logs, books: NoteBooks, threads: NoteThreads, activeLog: () => vscode.Uri | undefined) {
    this.#activeLog = activeLog;
    this.#logs = logs;
    this.#books = books;
    this.#threads = threads;
    const command = <A extends unknown[]>(name: string, run: (...args: A) => unknown): vscode.Disposable =>
      vscode.commands.registerCommand(`underplate.${name}`, run);
    this.#registered = vscode.Disposable.from(
      command('notes.reply', (reply: vscode.CommentReply) => this.#reply(reply)),
      command('notes.resolve', (thread: vscode.CommentThread) =>
        this.#onThread(thread, (notes, id) => setResolved(notes, id, true)),
      ),
      command('notes.reopen', (thread: vscode.CommentThread) =>
        this.#onThread(thread, (notes, id) => setResolved(notes, id, false)),
      ),
      command('notes.judge', (thread?: vscode.CommentThread) => this.#judge(thread)),
      command('notes.stateCause', (thread?: vscode.CommentThread) => this.#stateCause(thread)),
      command('notes.delete', (thread: vscode.CommentThread) => this.#delete(thread)),
      command('notes.edit', startEditing),
      command('notes.cancelEdit', (comment: NoteComment) => stopEditing(comment)),
      command('notes.saveEdit', (comment: NoteComment) => this.#saveEdit(comment)),
      command('notes.deleteRemark', ({ thread, remark }: NoteComment) =>
        this.#onThread(thread, (notes, id) => removeRemark(notes, id, remark) ?? goneRemark()),
      ),
      command('notes.add', () => this.#addAtCursor()),
    );
  }

  /** What the view asks: a note at a place, or a verdict on an event. @throws Error where the log cannot be asked. */
  async onNotice(log: vscode.Uri, notice: NoteNotice): Promise<void> {
    if (notice.type === 'addNote') {
      const place = await (await this.#logs.get(log)?.ready())?.place({ timeS: notice.timeS });
      const cell = this.#logs.get(log)?.summary?.header?.cells[notice.cell]?.name ?? '';
      if (place) await this.#ask({ log, line: place.line }, { cell, event: notice.eventId });
    } else {
      const event = this.#eventsOf(log).find(({ id }) => id === notice.eventId);
      if (event) await this.#setVerdict({ log, line: event.line }, event, notice.verdict);
    }
  }

  dispose(): void {
    this.#registered.dispose();
  }

  async #reply({ thread, text }: vscode.CommentReply): Promise<void> {
    const known = this.#threads.about(thread);
    if (known) {
      await this.#books.replyTo(known.log, known.id, text);
      return;
    }
    const line = (thread.range?.end.line ?? 0) + 1;
    const excerpt = excerptPlace(thread.uri);
    const document = vscode.workspace.textDocuments.find(({ uri }) => uri.toString() === thread.uri.toString());
    const place =
      excerpt && document ? { log: excerpt.log, line: logLine(document, line - 1) } : { log: thread.uri, line };
    if (saysUnsaved(place)) return;
    const id = await this.#books.addRemarkAt(place.log, place.line, this.#aboutLine(place), text);
    // The thread that the editor made gives way to ours, which has its place in the file.
    if (id !== undefined) thread.dispose();
  }

  async #addAtCursor(): Promise<void> {
    const place = this.#cursorPlace() ?? (await this.#askedPlace());
    if (place && !saysUnsaved(place)) await this.#ask(place, this.#aboutLine(place));
  }

  /** The view has no text cursor, and of a large log the editor does not tell where it is. */
  async #askedPlace(): Promise<Place | undefined> {
    const uri = this.#activeLog();
    const log = uri && this.#logs.get(uri);
    if (!log) {
      void vscode.window.showInformationMessage('Put the cursor on a line of a strain log first.');
      return undefined;
    }
    const last = lastRevealed(uri);
    const title = 'Note on which time or line? No text cursor is known here';
    const place = await askForTime(log, title, last > 0 ? `:${last}` : '');
    return place && { log: uri, line: place.line };
  }

  /** Asks for the remark in the small input, which works without the text in sight; only where it can be kept. */
  async #ask(place: Place, about: { readonly cell: string; readonly event: string }): Promise<void> {
    const at = await this.#books.threadAt(place.log, place.line, about);
    if (!at) return;
    const what = [about.cell && `cell ${about.cell}`, `line ${place.line}`].filter((part) => part !== '').join(', ');
    const text = await vscode.window.showInputBox({ title: `Note on ${what}`, prompt: 'Remark (Markdown)' });
    if (text) await this.#books.addRemarkTo(place.log, at, text);
  }

  async #judge(thread: vscode.CommentThread | undefined): Promise<void> {
    const known = thread && this.#threads.about(thread);
    if (known) {
      const now = this.#books.placed(known.log).find((one) => one.thread.id === known.id)?.thread.verdict ?? '';
      const verdict = await pickVerdict('Verdict', now);
      if (verdict !== undefined) await this.#books.judge(known.log, known.id, verdict);
      return;
    }
    const place = this.#cursorPlace();
    if (place && saysUnsaved(place)) return;
    const log = place?.log ?? this.#activeLog();
    const events = log ? this.#eventsOf(log) : [];
    const event = place ? nearestEvent(events, place.line) : await pickEvent(events, 'Event to judge');
    if (log && event) await this.#judgeEvent(log, event);
    else if (place || events.length === 0) void vscode.window.showInformationMessage(nothingToJudge(place, log));
  }

  async #judgeEvent(log: vscode.Uri, event: StrainEvent): Promise<void> {
    const now = this.#books.placed(log).find(({ thread }) => thread.event === event.id)?.thread.verdict ?? '';
    const verdict = await pickVerdict(`Verdict on: ${event.message}`, now);
    if (verdict !== undefined) await this.#setVerdict({ log, line: event.line }, event, verdict);
  }

  async #setVerdict({ log, line }: Place, event: StrainEvent, verdict: Verdict | ''): Promise<void> {
    const cells = this.#logs.get(log)?.summary?.header?.cells ?? [];
    const cell = cells[event.cells[0]?.cell ?? -1]?.name ?? '';
    const at = await this.#books.threadAt(log, line, { cell, event: event.id });
    if (at) await this.#books.judge(log, at, verdict);
  }

  async #stateCause(thread: vscode.CommentThread | undefined): Promise<void> {
    const known = thread && this.#threads.about(thread);
    if (!known) return;
    const value = this.#books.placed(known.log).find(({ thread: { id } }) => id === known.id)?.thread.cause ?? '';
    const cause = await vscode.window.showInputBox({ title: 'Cause', prompt: 'What caused it, in your words', value });
    if (cause !== undefined) await this.#books.change(known.log, (notes) => setCause(notes, known.id, cause.trim()));
  }

  async #delete(thread: vscode.CommentThread): Promise<void> {
    const known = this.#threads.about(thread);
    if (!known) {
      thread.dispose();
      return;
    }
    let removed: Thread | undefined;
    const done = await this.#books.change(known.log, (notes) => {
      // As it stands in the file by now, so that undoing brings back what others wrote meanwhile.
      removed = notes.threads.find(({ id }) => id === known.id);
      return removeThread(notes, known.id);
    });
    if (!done || !removed) return;
    const gone = removed;
    const undo = 'Undo';
    const answer = await vscode.window.showInformationMessage('Note deleted.', undo);
    if (answer === undo) await this.#books.change(known.log, (notes) => restoreThread(notes, gone));
  }

  async #saveEdit(comment: NoteComment): Promise<void> {
    const known = this.#threads.about(comment.thread);
    const text = typeof comment.body === 'string' ? comment.body : comment.body.value;
    if (!known) return;
    const { remark } = comment;
    const by = (notes: Notes): Notes => editRemark(notes, known.id, remark, text) ?? goneRemark(text);
    if (await this.#books.change(known.log, by)) stopEditing(comment, text);
  }

  async #onThread(thread: vscode.CommentThread, by: (notes: Notes, id: string) => Notes): Promise<void> {
    const known = this.#threads.about(thread);
    if (known) await this.#books.change(known.log, (notes) => by(notes, known.id));
  }

  /** The log's line at the text cursor, in the log or in an excerpt of it. */
  #cursorPlace(): Place | undefined {
    const editor = vscode.window.activeTextEditor;
    if (!editor) return undefined;
    const { document, selection } = editor;
    const log = excerptPlace(document.uri)?.log ?? document.uri;
    if (!this.#logs.get(log)) return undefined;
    const { line } = selection.active;
    return { log, line: isExcerpt(document) ? logLine(document, line) : line + 1 };
  }

  /** A note on the line where an event begins is about that event and its strongest cell. */
  #aboutLine({ log, line }: Place): { cell: string; event: string } {
    const cells = this.#logs.get(log)?.summary?.header?.cells ?? [];
    const event = this.#eventsOf(log).find((candidate) => candidate.line === line);
    return { cell: cells[event?.cells[0]?.cell ?? -1]?.name ?? '', event: event?.id ?? '' };
  }

  #eventsOf(log: vscode.Uri): readonly StrainEvent[] {
    return this.#logs.get(log)?.summary?.events ?? [];
  }
}

/** The editor drops a remark that is gone, and what was typed into it: so the words are told. */
function goneRemark(typed?: string): never {
  const words = typed === undefined ? '' : ` What you typed, to be added as a new one: ${typed}`;
  throw new Error(`This remark is not in the notes any more; somebody else took it out.${words}`);
}

async function pickVerdict(title: string, now: Verdict | ''): Promise<Verdict | '' | undefined> {
  const items = [...verdicts, '' as const].map((verdict) => ({
    label: verdict === '' ? 'no verdict' : verdict.replace('-', ' '),
    description: verdict === now ? 'as it stands' : '',
    verdict,
  }));
  return (await vscode.window.showQuickPick(items, { title }))?.verdict;
}

function nothingToJudge(place: Place | undefined, log: vscode.Uri | undefined): string {
  if (place) return 'No event stands on or before this line.';
  return log ? 'No events in this log so far.' : 'Open a strain log first, or put the cursor on a line of one.';
}

/** Whether a line of the editor's text may be another one in the file; said where it is so. */
function saysUnsaved({ log }: Place): boolean {
  const unsaved = isUnsaved(log);
  if (unsaved) void vscode.window.showInformationMessage(unsavedHint);
  return unsaved;
}

function nearestEvent(events: readonly StrainEvent[], line: number): StrainEvent | undefined {
  return events.filter((event) => event.line <= line).sort((a, b) => b.line - a.line)[0];
}
