// The editor as tests see and move it: what is open and shown, what was said and asked, and what happens next.
import { EventEmitter, Range } from './values.ts';
import type { Diagnostic, LanguageModelToolResult, MarkdownString, Uri } from './values.ts';

/** A text as the editor holds it; `typed` is what tests do to it. */
export class TextDocument {
  readonly uri: Uri;
  readonly languageId: string;
  version = 1;
  isDirty = false;
  readonly isClosed = false;
  #lines: readonly string[];
  constructor(uri: Uri, text: string, languageId = 'strain-log') {
    this.uri = uri;
    this.languageId = languageId;
    this.#lines = text.split('\n');
  }
  get lineCount(): number {
    return this.#lines.length;
  }
  getText(): string {
    return this.#lines.join('\n');
  }
  lineAt(line: number): { readonly text: string; readonly range: Range } {
    const text = this.#lines[line] ?? '';
    return { text, range: new Range(line, 0, line, text.length) };
  }
  type(text: string): void {
    this.#lines = text.split('\n');
    this.version++;
    this.isDirty = true;
    desk.changeText.fire({ document: this });
  }
}

export interface CommentThread {
  readonly uri: Uri;
  range: Range;
  comments: readonly { readonly body: string | MarkdownString; readonly mode: number }[];
  label?: string;
  disposed: boolean;
  dispose(): void;
}

export class Panel {
  title = '';
  active = false;
  disposed = false;
  revealed = 0;
  readonly sent: unknown[] = [];
  readonly received = new EventEmitter<unknown>();
  readonly #closed = new EventEmitter<void>();
  readonly onDidDispose = this.#closed.event;
  readonly webview = {
    postMessage: (message: unknown): Promise<boolean> => {
      this.sent.push(message);
      return Promise.resolve(true);
    },
    onDidReceiveMessage: this.received.event,
    asWebviewUri: (uri: Uri): Uri => uri,
    cspSource: 'self',
  };
  reveal(): void {
    this.revealed++;
  }
  dispose(): void {
    this.disposed = true;
    this.#closed.fire();
  }
}

export type Provider = Record<string, (...given: unknown[]) => unknown>;

/** The editor as tests see and move it. */
export const desk = {
  files: new Map<string, Uint8Array>(),
  /** When a file was written, counted in writings. */
  written: new Map<string, number>(),
  /** Called, and waited for, before each reading of a file; throws where it cannot be read. */
  beforeReading: (() => undefined) as (path: string) => unknown,
  settings: new Map<string, unknown>(),
  texts: [] as TextDocument[],
  activeEditor: undefined as unknown,
  tabs: [] as Uri[],
  /** Titles of tabs that show no text. */
  otherTabs: [] as string[],
  threads: [] as CommentThread[],
  panels: [] as Panel[],
  statusItems: [] as { text?: string }[],
  said: [] as string[],
  /** Titles of what the user was asked, and how each is answered; unanswered is turned away. */
  asked: [] as { readonly title: string; readonly items: readonly { readonly label: string }[] }[],
  answers: [] as string[],
  /** What was opened, and the line (from 1) that was selected. */
  opened: [] as { readonly uri: Uri; readonly line: number }[],
  commands: new Map<string, (...given: unknown[]) => unknown>(),
  tools: new Map<string, { invoke(options: unknown, token: unknown): Promise<LanguageModelToolResult> }>(),
  diagnostics: new Map<string, Map<string, readonly Diagnostic[]>>(),
  /** How often a collection was written, by its name. */
  diagnosed: new Map<string, number>(),
  providers: new Map<string, Provider>(),
  serializer: undefined as undefined | { deserializeWebviewPanel(panel: Panel, state: unknown): Promise<void> },
  openText: new EventEmitter<TextDocument>(),
  closeText: new EventEmitter<TextDocument>(),
  changeText: new EventEmitter<{ readonly document: TextDocument }>(),
  saveText: new EventEmitter<TextDocument>(),
  changeSettings: new EventEmitter<{ affectsConfiguration(name: string): boolean }>(),
  changeTabs: new EventEmitter<void>(),
  changeEditor: new EventEmitter<void>(),
  selection: new EventEmitter<unknown>(),
  renamed: new EventEmitter<unknown>(),
  willRename: new EventEmitter<unknown>(),
  fileMade: new EventEmitter<Uri>(),
  fileGone: new EventEmitter<Uri>(),
  /** What menus go by, as `setContext` was told. */
  context: new Map<string, unknown>(),

  show(...uris: Uri[]): void {
    desk.tabs = uris;
    desk.changeTabs.fire();
  },
  open(document: TextDocument): void {
    desk.texts.push(document);
    desk.openText.fire(document);
  },
  close(document: TextDocument): void {
    desk.texts.splice(desk.texts.indexOf(document), 1);
    desk.closeText.fire(document);
  },
  write(path: string, text: string | Uint8Array): void {
    desk.files.set(path, typeof text === 'string' ? new TextEncoder().encode(text) : text);
    desk.written.set(path, (desk.written.get(path) ?? 0) + 1);
  },
  /** Empty again; who listens still listens. */
  clear(): void {
    for (const kept of [desk.files, desk.settings, desk.diagnostics, desk.diagnosed, desk.commands, desk.tools])
      kept.clear();
    for (const list of [
      desk.texts,
      desk.tabs,
      desk.otherTabs,
      desk.threads,
      desk.panels,
      desk.statusItems,
      desk.said,
      desk.asked,
      desk.answers,
      desk.opened,
    ])
      list.length = 0;
    desk.activeEditor = undefined;
    desk.serializer = undefined;
    desk.beforeReading = () => undefined;
  },
};
