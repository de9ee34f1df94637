// What the extension's parts need of the editor, as far as tests drive it: files in memory, tabs, texts, comments, panels.
// `load.ts` puts it in the place of the module `vscode`; `desk` is the tests' way in.
import { Panel, desk } from './desk.ts';
import type { CommentThread, Provider } from './desk.ts';
import { Disposable, FileSystemError, TabInputText, Uri } from './values.ts';
import type { Diagnostic, LanguageModelToolResult, Range } from './values.ts';

export * from './values.ts';

function bytesOf({ path }: Uri): Uint8Array {
  const bytes = desk.files.get(path);
  if (!bytes) throw new FileSystemError(`${path} is not there`, 'FileNotFound');
  return bytes;
}

const nothing = (): Disposable => new Disposable(() => undefined);

export const workspace = {
  textDocuments: desk.texts,
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
    inspect: (name: string) => ({
      key: `${section}.${name}`,
      defaultValue: 'what holds where nobody set it',
      workspaceValue: desk.settings.get(`${section}.${name}`),
    }),
  }),
  createFileSystemWatcher: () => ({
    onDidChange: nothing,
    onDidCreate: desk.fileMade.event,
    onDidDelete: desk.fileGone.event,
    dispose: nothing,
  }),
  /** By the ending of a pattern that begins with any folder and any name. */
  findFiles: (pattern: string) =>
    Promise.resolve(
      [...desk.files.keys()].filter((path) => path.endsWith(pattern.replace('**/*', ''))).map((path) => Uri.file(path)),
    ),
  registerTextDocumentContentProvider: (scheme: string, provider: unknown): Disposable =>
    provide('content')(scheme, provider as Provider),
  fs: {
    isWritableFileSystem: (scheme: string): boolean | undefined => (scheme === 'git' ? false : undefined),
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
  get activeTextEditor(): unknown {
    return desk.activeEditor;
  },
  set activeTextEditor(editor: unknown) {
    desk.activeEditor = editor;
  },
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
  /** Of the editor's own commands opening is known, and what menus go by. */
  executeCommand: async (name: string, about: unknown, more: unknown = {}): Promise<void> => {
    if (name === 'setContext') desk.context.set(about as string, more);
    if (name !== 'vscode.open') return;
    const { selection } = more as { readonly selection?: Range };
    desk.opened.push({ uri: about as Uri, line: (selection?.start.line ?? 0) + 1 });
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
