// Notes in the text: each thread as the editor's own comment thread, in the log, in excerpts of it and in comparisons.
// The editor keeps nothing of them; they are drawn from the notes whenever these change.
import * as vscode from 'vscode';
import { indexOfRemark } from '../core/notes/editNotes.ts';
import { verdictGiver } from '../core/notes/notes.ts';
import type { Remark, Thread } from '../core/notes/notes.ts';
import { excerptLine, excerptPlace, isExcerpt } from './excerpt.ts';
import type { Logs } from './logs.ts';
import type { NoteBooks, PlacedThread } from './noteBooks.ts';

/** A remark as the editor shows it, or has it edited: then what is typed comes to stand in `body`. */
export interface NoteComment extends vscode.Comment {
  /** The remark as it is stored; by its date and author it is found again when the notes have changed. */
  remark: Remark;
  readonly thread: vscode.CommentThread;
}

export class NoteThreads implements vscode.Disposable {
  readonly controller: vscode.CommentController;
  readonly #books: NoteBooks;
  readonly #shown = new Map<string, Map<string, vscode.CommentThread>>();
  readonly #about = new WeakMap<vscode.CommentThread, { readonly log: vscode.Uri; readonly id: string }>();
  readonly #listeners: vscode.Disposable;

  constructor(logs: Logs, books: NoteBooks) {
    this.#books = books;
    this.controller = vscode.comments.createCommentController('underplate.notes', 'Strain log notes');
    this.controller.options = {
      prompt: 'Add a remark',
      placeHolder: 'What happened here, and how you know (Markdown)',
    };
    this.controller.commentingRangeProvider = {
      provideCommentingRanges: (document) => {
        // The editor asks for its own small comment documents, too.
        if (!logs.get(document.uri) && !isExcerpt(document)) return [];
        if (document.uri.scheme === 'git') return [];
        return [new vscode.Range(0, 0, Math.max(0, document.lineCount - 1), 0)];
      },
    };
    this.#listeners = vscode.Disposable.from(
      this.controller,
      books.onDidChange((log) => this.#draw(log)),
      // Threads went with the text when it was closed; the log and its notes may have stayed, with a view.
      vscode.workspace.onDidOpenTextDocument(({ uri }) => this.#draw(excerptPlace(uri)?.log ?? uri)),
      vscode.workspace.onDidCloseTextDocument(({ uri }) => this.#clear(uri.toString())),
    );
  }

  /** Which thread of which log's notes this is; undefined for one that the editor has just made. */
  about(thread: vscode.CommentThread): { readonly log: vscode.Uri; readonly id: string } | undefined {
    return this.#about.get(thread);
  }

  dispose(): void {
    this.#shown.forEach((_, key) => this.#clear(key));
    this.#listeners.dispose();
  }

  #draw(log: vscode.Uri): void {
    const placed = this.#books.placed(log);
    this.#drawIn(log, log, placed, (line) => line);
    for (const document of vscode.workspace.textDocuments) {
      if (excerptPlace(document.uri)?.log.toString() !== log.toString()) continue;
      this.#drawIn(document.uri, log, placed, (line) => excerptLine(document, line));
    }
  }

  /** `lineIn`: the line of the document (from 1) where a line of the log stands, undefined where it is not in it. */
  #drawIn(
    where: vscode.Uri,
    log: vscode.Uri,
    placed: readonly PlacedThread[],
    lineIn: (line: number) => number | undefined,
  ): void {
    const key = where.toString();
    if (placed.length === 0 && !this.#shown.has(key)) return;
    const shown = this.#shown.get(key) ?? new Map<string, vscode.CommentThread>();
    this.#shown.set(key, shown);
    const wanted = new Set<string>();
    for (const one of placed) {
      const line = lineIn(Math.max(1, one.place.line));
      if (line === undefined) continue;
      wanted.add(one.thread.id);
      const range = new vscode.Range(line - 1, 0, line - 1, 0);
      const thread = shown.get(one.thread.id) ?? this.controller.createCommentThread(where, range, []);
      shown.set(one.thread.id, thread);
      this.#about.set(thread, { log, id: one.thread.id });
      fill(thread, one, range);
    }
    for (const [id, thread] of shown) {
      if (wanted.has(id)) continue;
      thread.dispose();
      shown.delete(id);
    }
  }

  #clear(key: string): void {
    this.#shown.get(key)?.forEach((thread) => thread.dispose());
    this.#shown.delete(key);
  }
}

function fill(shown: vscode.CommentThread, { thread, place }: PlacedThread, range: vscode.Range): void {
  shown.range = range;
  shown.label = labelOf(thread, place.state);
  shown.canReply = true;
  shown.contextValue = thread.resolved ? 'resolved' : 'open';
  shown.state = thread.resolved ? vscode.CommentThreadState.Resolved : vscode.CommentThreadState.Unresolved;
  const edited = (shown.comments as readonly NoteComment[]).filter(({ mode }) => mode === vscode.CommentMode.Editing);
  const remarks = thread.remarks.map((remark, index) => {
    const editing = edited.find((comment) => indexOfRemark(thread.remarks, comment.remark) === index);
    return editing ? Object.assign(editing, { remark }) : commentOf(remark, 'remark', shown);
  });
  shown.comments = remarks.length > 0 ? remarks : [commentOf(judgementRemark(thread), 'judgement', shown)];
}

/** Lets a remark be edited as it is stored. */
export function startEditing(comment: NoteComment): void {
  replace(comment, { ...comment, body: comment.remark.text, mode: vscode.CommentMode.Editing });
}

/** Shows a remark as it is stored, or `text` that was stored just now; what was typed and not saved is gone. */
export function stopEditing(comment: NoteComment, text = comment.remark.text): void {
  replace(comment, commentOf({ ...comment.remark, text }, 'remark', comment.thread));
}

function replace(comment: NoteComment, by: NoteComment): void {
  const { thread } = comment;
  thread.comments = thread.comments.map((one) => (one === comment ? by : one));
}

const verdictWords = { confirmed: 'confirmed', 'false-alarm': 'false alarm', unsure: 'unsure', '': '' } as const;

function labelOf(thread: Thread, state: PlacedThread['place']['state']): string {
  const place = { found: '', moved: 'row moved', changed: 'line changed', lost: 'row is gone; nearest line' }[state];
  const by = verdictGiver(thread)?.by ?? '';
  const verdict = verdictWords[thread.verdict] + (by === '' ? '' : ` by ${by}`);
  const parts = [thread.cell, verdict, thread.cause, place];
  return parts.filter((part) => part !== '').join(' · ') || 'Note';
}

/** A thread that holds a verdict and no words still shows something to reply to. */
function judgementRemark(thread: Thread): Remark {
  const { verdict } = thread;
  const { date = '', by = '' } = verdictGiver(thread) ?? {};
  return { date, by, text: verdict === '' ? '(no remark yet)' : `Judged: ${verdictWords[verdict]}`, extra: {} };
}

/** `what`: a remark, or the verdict of a thread without words, which nobody can edit. */
function commentOf(remark: Remark, what: 'remark' | 'judgement', thread: vscode.CommentThread): NoteComment {
  const time = new Date(remark.date);
  return {
    remark,
    thread,
    body: new vscode.MarkdownString(withoutPictures(remark.text)),
    mode: vscode.CommentMode.Preview,
    author: { name: remark.by || 'Unnamed' },
    contextValue: what,
    ...(Number.isNaN(time.getTime()) ? {} : { timestamp: time }),
  };
}

/** A picture would be loaded from wherever the text says: its sign becomes a plain one, whether or not a backslash stood before it. */
function withoutPictures(markdown: string): string {
  return markdown.replace(/(\\*)!(?=\[)/g, (_, { length }: string) => `${'\\'.repeat(length - (length % 2))}&#33;`);
}
