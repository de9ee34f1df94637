// What the extension's parts need of the editor, as far as tests drive it: files in memory, tabs, texts, comments, panels.
// `load.ts` puts it in the place of the module `vscode`; `desk` is the tests' way in.
type Listener<T> = (event: T) => unknown;

export class Disposable {
  readonly #end: () => unknown;
  constructor(end: () => unknown) {
    this.#end = end;
  }
  static from(...parts: { dispose(): unknown }[]): Disposable {
    return new Disposable(() => parts.forEach((part) => part.dispose()));
  }
  dispose(): void {
    this.#end();
  }
}

export class EventEmitter<T> {
  readonly #listeners = new Set<Listener<T>>();
  readonly event = (listener: Listener<T>): Disposable => {
    this.#listeners.add(listener);
    return new Disposable(() => this.#listeners.delete(listener));
  };
  fire(event: T): void {
    [...this.#listeners].forEach((listener) => listener(event));
  }
  dispose(): void {
    this.#listeners.clear();
  }
}

interface UriParts {
  readonly scheme?: string;
  readonly path?: string;
  readonly query?: string;
}

export class Uri {
  readonly scheme: string;
  readonly path: string;
  readonly query: string;
  private constructor(scheme: string, path: string, query: string) {
    this.scheme = scheme;
    this.path = path;
    this.query = query;
  }
  static file(path: string): Uri {
    return new Uri('file', path, '');
  }
  static from({ scheme = 'file', path = '', query = '' }: UriParts): Uri {
    return new Uri(scheme, path, query);
  }
  static parse(text: string): Uri {
    const [, scheme = '', path = '', query = ''] = /^([\w-]+):(?:\/\/)?([^?]*)(?:\?(.*))?$/.exec(text) ?? [];
    return new Uri(scheme, path, decodeURIComponent(query));
  }
  static joinPath(uri: Uri, ...more: string[]): Uri {
    const { pathname } = new URL(more.join('/'), `file://${uri.path}/`);
    return uri.with({ path: pathname });
  }
  with({ scheme = this.scheme, path = this.path, query = this.query }: UriParts): Uri {
    return new Uri(scheme, path, query);
  }
  get fsPath(): string {
    return this.path;
  }
  toString(): string {
    return `${this.scheme}://${this.path}${this.query === '' ? '' : `?${encodeURIComponent(this.query)}`}`;
  }
}

export class Position {
  readonly line: number;
  readonly character: number;
  constructor(line: number, character: number) {
    this.line = line;
    this.character = character;
  }
}

export class Range {
  readonly start: Position;
  readonly end: Position;
  constructor(...at: readonly [Position, Position] | readonly [number, number, number, number]) {
    this.start = at.length === 2 ? at[0] : new Position(at[0], at[1]);
    this.end = at.length === 2 ? at[1] : new Position(at[2], at[3]);
  }
  /** By lines alone, which is as fine as the tests ask. */
  intersection(other: Range): Range | undefined {
    return this.start.line <= other.end.line && this.end.line >= other.start.line ? this : undefined;
  }
}

export class MarkdownString {
  value: string;
  constructor(value = '') {
    this.value = value;
  }
  appendMarkdown(text: string): this {
    this.value += text;
    return this;
  }
  appendText(text: string): this {
    this.value += text;
    return this;
  }
}

export class Hover {
  readonly contents: unknown;
  constructor(contents: unknown) {
    this.contents = contents;
  }
}

export class Diagnostic {
  readonly range: Range;
  readonly message: string;
  readonly severity: number;
  constructor(range: Range, message: string, severity: number) {
    this.range = range;
    this.message = message;
    this.severity = severity;
  }
}

export class FileSystemError extends Error {
  readonly code: string;
  constructor(message: string, code: string) {
    super(message);
    this.code = code;
  }
}

export class TabInputText {
  readonly uri: Uri;
  constructor(uri: Uri) {
    this.uri = uri;
  }
}
/** Only told apart from others, or handed on. */
class Token {
  readonly given: readonly unknown[];
  constructor(...given: readonly unknown[]) {
    this.given = given;
  }
}
export class TabInputTextDiff extends Token {}
export class ThemeColor extends Token {}
export class RelativePattern extends Token {}
export class CancellationError extends Error {}

export class DocumentSymbol {
  children: DocumentSymbol[] = [];
  readonly name: string;
  readonly detail: string;
  constructor(name: string, detail: string) {
    this.name = name;
    this.detail = detail;
  }
}

export class CodeAction {
  readonly title: string;
  edit?: WorkspaceEdit;
  constructor(title: string) {
    this.title = title;
  }
}

export class WorkspaceEdit {
  readonly replaced: { readonly range: Range; readonly text: string }[] = [];
  replace(_: Uri, range: Range, text: string): void {
    this.replaced.push({ range, text });
  }
}

export class LanguageModelTextPart {
  readonly value: string;
  constructor(value: string) {
    this.value = value;
  }
}
export class LanguageModelToolResult {
  readonly content: readonly LanguageModelTextPart[];
  constructor(content: readonly LanguageModelTextPart[]) {
    this.content = content;
  }
}

export const DiagnosticSeverity = { Error: 0, Warning: 1, Information: 2 };
export const CommentMode = { Editing: 0, Preview: 1 };
export const CommentThreadState = { Unresolved: 0, Resolved: 1 };
export const ViewColumn = { Beside: -2, Active: -1, One: 1, Two: 2 };
export const StatusBarAlignment = { Left: 1 };
export const ProgressLocation = { Notification: 15 };
export const SymbolKind = { Namespace: 2, Array: 17, Object: 18, Field: 7, Event: 23 };
export const CodeActionKind = { QuickFix: 'quickfix' };
export const ConfigurationTarget = { Global: 1 };

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

type Provider = Record<string, (...given: unknown[]) => unknown>;

/** The editor as tests see and move it. */
export const desk = {
  files: new Map<string, Uint8Array>(),
  /** When a file was written, counted in writings. */
  written: new Map<string, number>(),
  /** Called, and waited for, before each reading of a file; throws where it cannot be read. */
  beforeReading: (() => undefined) as (path: string) => unknown,
  settings: new Map<string, unknown>(),
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

  show(...uris: Uri[]): void {
    desk.tabs = uris;
    desk.changeTabs.fire();
  },
  open(document: TextDocument): void {
    workspace.textDocuments.push(document);
    desk.openText.fire(document);
  },
  close(document: TextDocument): void {
    workspace.textDocuments.splice(workspace.textDocuments.indexOf(document), 1);
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
    workspace.textDocuments.length = 0;
    window.activeTextEditor = undefined;
    desk.serializer = undefined;
    desk.beforeReading = () => undefined;
  },
};

function bytesOf({ path }: Uri): Uint8Array {
  const bytes = desk.files.get(path);
  if (!bytes) throw new FileSystemError(`${path} is not there`, 'FileNotFound');
  return bytes;
}

const nothing = (): Disposable => new Disposable(() => undefined);

export const workspace = {
  textDocuments: [] as TextDocument[],
  workspaceFolders: undefined,
  onDidOpenTextDocument: desk.openText.event,
  onDidCloseTextDocument: desk.closeText.event,
  onDidChangeTextDocument: desk.changeText.event,
  onDidSaveTextDocument: desk.saveText.event,
  onDidChangeConfiguration: desk.changeSettings.event,
  onDidRenameFiles: desk.renamed.event,
  onWillRenameFiles: desk.willRename.event,
  getConfiguration: (section: string) => ({
    get: (name: string, otherwise: unknown): unknown => desk.settings.get(`${section}.${name}`) ?? otherwise,
  }),
  createFileSystemWatcher: () => ({
    onDidChange: nothing,
    onDidCreate: nothing,
    onDidDelete: nothing,
    dispose: nothing,
  }),
  registerTextDocumentContentProvider: (scheme: string, provider: unknown): Disposable =>
    provide('content')(scheme, provider as Provider),
  fs: {
    readFile: async (uri: Uri): Promise<Uint8Array> => {
      await desk.beforeReading(uri.path);
      return bytesOf(uri);
    },
    writeFile: async (uri: Uri, bytes: Uint8Array): Promise<void> => void desk.files.set(uri.path, bytes),
    rename: async (from: Uri, to: Uri): Promise<void> => {
      desk.files.set(to.path, bytesOf(from));
      desk.files.delete(from.path);
    },
    stat: async (uri: Uri): Promise<{ size: number; mtime: number }> => ({
      size: bytesOf(uri).length,
      mtime: desk.written.get(uri.path) ?? 0,
    }),
  },
};

/** Answered where the next answer is one of its buttons. */
async function say(message: string, ...buttons: readonly unknown[]): Promise<string | undefined> {
  desk.said.push(message);
  return buttons.includes(desk.answers[0]) ? desk.answers.shift() : undefined;
}

export const window = {
  activeTextEditor: undefined as unknown,
  visibleTextEditors: [] as unknown[],
  tabGroups: {
    get all() {
      const texts = desk.tabs.map((uri) => ({ label: uri.path, input: new TabInputText(uri) }));
      const views = desk.panels.filter(({ disposed }) => !disposed).map(({ title }) => title);
      return [{ tabs: [...texts, ...[...desk.otherTabs, ...views].map((label) => ({ label, input: undefined }))] }];
    },
    get activeTabGroup() {
      const [uri] = desk.tabs;
      return { activeTab: uri && { input: new TabInputText(uri) } };
    },
    onDidChangeTabs: desk.changeTabs.event,
    onDidChangeTabGroups: nothing,
  },
  onDidChangeActiveTextEditor: desk.changeEditor.event,
  onDidChangeTextEditorSelection: desk.selection.event,
  onDidChangeVisibleTextEditors: nothing,
  showErrorMessage: say,
  showInformationMessage: say,
  showWarningMessage: say,
  showInputBox: async ({ title }: { title: string }): Promise<string | undefined> => {
    desk.asked.push({ title, items: [] });
    return desk.answers.shift();
  },
  showQuickPick: async <T extends { readonly label: string }>(
    items: readonly T[],
    { title }: { title: string },
  ): Promise<T | undefined> => {
    desk.asked.push({ title, items });
    const answer = desk.answers.shift();
    return items.find(({ label }) => label === answer);
  },
  setStatusBarMessage: say,
  registerWebviewPanelSerializer: (_: string, serializer: NonNullable<typeof desk.serializer>): Disposable => {
    desk.serializer = serializer;
    return nothing();
  },
  createWebviewPanel: (): Panel => {
    const panel = new Panel();
    desk.panels.push(panel);
    return panel;
  },
  createTextEditorDecorationType: () => ({ dispose: nothing }),
  onDidChangeTextEditorVisibleRanges: nothing,
  createStatusBarItem: () => {
    const item: { text?: string; [part: string]: unknown } = { show: nothing, hide: nothing, dispose: nothing };
    desk.statusItems.push(item);
    return item;
  },
};

function provide(kind: string): (selector: unknown, provider: Provider) => Disposable {
  return (_, provider) => {
    desk.providers.set(kind, provider);
    return nothing();
  };
}

export const languages = {
  createDiagnosticCollection: (name: string) => {
    const entries = new Map<string, readonly Diagnostic[]>();
    desk.diagnostics.set(name, entries);
    return {
      set(at: Uri | readonly (readonly [Uri, readonly Diagnostic[]])[], found: readonly Diagnostic[] = []): void {
        const all = at instanceof Uri ? [[at, found] as const] : at;
        all.forEach(([uri, list]) => entries.set(uri.toString(), list));
        desk.diagnosed.set(name, (desk.diagnosed.get(name) ?? 0) + 1);
      },
      delete: (uri: Uri): boolean => entries.delete(uri.toString()),
      dispose: (): void => entries.clear(),
    };
  },
  registerCodeActionsProvider: provide('fixes'),
  registerHoverProvider: provide('hover'),
  registerCodeLensProvider: provide('lenses'),
  registerDocumentSymbolProvider: provide('outline'),
};

export const comments = {
  createCommentController: () => ({
    createCommentThread(uri: Uri, range: Range): CommentThread {
      const thread: CommentThread = {
        ...{ uri, range, comments: [], disposed: false },
        dispose: () => void (thread.disposed = true),
      };
      desk.threads.push(thread);
      return thread;
    },
    dispose: nothing,
  }),
};

export const commands = {
  registerCommand: (name: string, run: (...given: unknown[]) => unknown): Disposable => {
    desk.commands.set(name, run);
    return nothing();
  },
  /** Of the editor's own commands only opening is known. */
  executeCommand: async (name: string, uri: Uri, { selection }: { readonly selection?: Range } = {}): Promise<void> => {
    if (name === 'vscode.open') desk.opened.push({ uri, line: (selection?.start.line ?? 0) + 1 });
  },
};

export const extensions = { getExtension: (): undefined => undefined };

export const lm = {
  registerTool: (
    name: string,
    tool: { invoke(options: unknown, token: unknown): Promise<LanguageModelToolResult> },
  ) => {
    desk.tools.set(name, tool);
    return nothing();
  },
};
