// Notes in the text: each thread as the editor's own comment thread, in the log, in excerpts of it and in comparisons.
// The editor keeps nothing of them; they are drawn from the notes whenever these change.
import * as vscode from 'vscode';
import type { Remark, Thread } from '../core/notes/notes.ts';
import { excerptLine, excerptPlace, isExcerpt } from './excerpt.ts';
import type { Logs } from './logs.ts';
import type { NoteBooks, PlacedThread } from './noteBooks.ts';

/** A remark as the editor shows it. */
export interface NoteComment extends vscode.Comment {
  readonly index: number;
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
      vscode.workspace.onDidOpenTextDocument(({ uri }) => {
        const log = excerptPlace(uri)?.log;
        if (log) this.#draw(log);
      }),
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
  const remarks = thread.remarks.map((remark, index) => commentOf(remark, index, shown));
  shown.comments = remarks.length > 0 ? remarks : [commentOf(judgementRemark(thread), -1, shown)];
}

const verdictWords = { confirmed: 'confirmed', 'false-alarm': 'false alarm', unsure: 'unsure', '': '' } as const;

function labelOf(thread: Thread, state: PlacedThread['place']['state']): string {
  const place = { found: '', moved: 'row moved', changed: 'line changed', lost: 'row is gone; nearest line' }[state];
  const parts = [thread.cell, verdictWords[thread.verdict], thread.cause, place];
  return parts.filter((part) => part !== '').join(' · ') || 'Note';
}

/** A thread that holds a verdict and no words still shows something to reply to. */
function judgementRemark({ verdict }: Thread): Remark {
  return { date: '', by: '', text: verdict === '' ? '(no remark yet)' : `Judged: ${verdictWords[verdict]}`, extra: {} };
}

function commentOf(remark: Remark, index: number, thread: vscode.CommentThread): NoteComment {
  const time = new Date(remark.date);
  return {
    index,
    thread,
    // Pictures would be loaded from wherever the text says.
    body: new vscode.MarkdownString(remark.text.replace(/!\[/g, '\\![')),
    mode: vscode.CommentMode.Preview,
    author: { name: remark.by || 'Unnamed' },
    contextValue: index < 0 ? 'judgement' : 'remark',
    ...(Number.isNaN(time.getTime()) ? {} : { timestamp: time }),
  };
}
