// The editor's plain values, as far as the extension makes or reads them.
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
