// All views: at most one a log. Opens, finds and restores them, and serves what their pages ask of the editor.
import * as vscode from 'vscode';
import { headerEnding } from '../core/besideLog.ts';
import { wordsOf } from '../core/problem.ts';
import type { FromView, ToView, ViewState } from '../messages/view.ts';
import { excerptPlace } from './excerpt.ts';
import { activeFile, beside, logFilters, otherLogs } from './logFile.ts';
import type { Logs } from './logs.ts';
import type { NoteBooks } from './noteBooks.ts';
import type { NoteCommands } from './noteCommands.ts';
import { compareWithGoodBuilds } from './goodBuilds.ts';
import { leadToLine } from './leadToLine.ts';
import { revealLine } from './reveal.ts';
import { saveExport } from './saveExport.ts';
import { opensView } from './settings.ts';
import { LogView, titleOf, viewType } from './view.ts';

export class Views implements vscode.Disposable {
  readonly #extension: vscode.Uri;
  readonly #logs: Logs;
  readonly #books: NoteBooks;
  readonly #notes: NoteCommands;
  readonly #views = new Map<string, LogView>();
  readonly #listeners: vscode.Disposable;
  readonly #ready = new vscode.EventEmitter<LogView>();

  /** A page has asked for everything: just opened, or shown again. */
  readonly onDidGetReady = this.#ready.event;

  constructor(extension: vscode.Uri, logs: Logs, books: NoteBooks, notes: NoteCommands) {
    this.#extension = extension;
    this.#logs = logs;
    this.#books = books;
    this.#notes = notes;
    this.#listeners = vscode.Disposable.from(
      logs.onDidShow(({ uri }) => this.#openWith(uri)),
      books.onDidChange((uri) => this.get(uri)?.tell({ type: 'notes', notes: books.marks(uri) })),
      vscode.workspace.onDidRenameFiles(({ files }) => files.forEach((renamed) => this.#rename(renamed))),
      vscode.window.registerWebviewPanelSerializer(viewType, {
        deserializeWebviewPanel: (panel, state: unknown) => this.#restore(panel, state),
      }),
    );
    // Texts may have been open before anybody listened.
    logs.all().forEach(({ uri }) => this.#openWith(uri));
  }

  get(uri: vscode.Uri): LogView | undefined {
    return this.#views.get(uri.toString());
  }

  /** The log's view, opened beside its text or brought to the front. */
  open(uri: vscode.Uri, preserveFocus = false): LogView {
    const known = this.get(uri);
    if (known) {
      known.panel.reveal(undefined, preserveFocus);
      return known;
    }
    // Views stand beside the text, one over the other.
    const beside = [...this.#views.values()].some(({ panel }) => panel.active);
    const viewColumn = beside ? vscode.ViewColumn.Active : vscode.ViewColumn.Beside;
    const where = { viewColumn, preserveFocus };
    return this.#add(uri, vscode.window.createWebviewPanel(viewType, '', where, {}));
  }

  /** Tells the log's view, if it is open. */
  tell(uri: vscode.Uri, notice: ToView): void {
    this.get(uri)?.tell(notice);
  }

  /** The log whose view is in front, or whose text or excerpt is. */
  activeLog(): vscode.Uri | undefined {
    const front = [...this.#views.values()].find((view) => view.panel.active);
    const uri = front?.uri ?? activeFile();
    return uri && (excerptPlace(uri)?.log ?? uri);
  }

  dispose(): void {
    this.#listeners.dispose();
    this.#views.forEach((view) => view.panel.dispose());
    this.#ready.dispose();
  }

  #add(uri: vscode.Uri, panel: vscode.WebviewPanel): LogView {
    const view = new LogView(uri, panel, this.#extension, this.#logs, {
      notesOf: (log) => this.#books.marks(log),
      onNotice: (from, notice) => void this.#serveOrTell(from, notice),
    });
    panel.iconPath = vscode.Uri.joinPath(this.#extension, 'src', 'extension', 'media', 'view.svg');
    this.#views.set(uri.toString(), view);
    panel.onDidDispose(() => this.#drop(view));
    return view;
  }

  #drop(view: LogView): void {
    if (this.get(view.uri) === view) this.#views.delete(view.uri.toString());
    view.dispose();
  }

  /** The view of a log whose text is open, where that is wished for; one of an earlier start may wait to be restored. */
  #openWith(uri: vscode.Uri): void {
    const title = titleOf(uri);
    const tabs = vscode.window.tabGroups.all.flatMap((group) => group.tabs).filter(({ label }) => label === title);
    // Titles name no folder: a namesake's view has the same one.
    const own = [...this.#views.values()].filter(({ panel }) => panel.title === title);
    const waits = tabs.length > own.length;
    if (opensView(uri) && (this.get(uri) || !waits)) this.open(uri, true);
  }

  /** A view goes with its log, its second log too, in its panel, whose page then leaves the new name for the next start. */
  #rename({ oldUri, newUri }: { readonly oldUri: vscode.Uri; readonly newUri: vscode.Uri }): void {
    const renamed = (uri: vscode.Uri | undefined): vscode.Uri | undefined => {
      const inside = uri?.path.startsWith(`${oldUri.path}/`); // a folder was renamed
      if (uri?.scheme !== oldUri.scheme || (!inside && uri.path !== oldUri.path)) return undefined;
      return uri.with({ path: newUri.path + uri.path.slice(oldUri.path.length) });
    };
    for (const view of [...this.#views.values()]) {
      const uri = renamed(view.uri);
      const second = renamed(view.reference);
      if (!uri) {
        if (second) view.setReference(second);
        continue;
      }
      if (this.get(uri)) {
        view.panel.dispose(); // the renamed text came first, and its view was opened with it
        continue;
      }
      const behind = second ?? view.reference;
      this.#drop(view);
      const moved = this.#add(uri, view.panel);
      if (behind) moved.setReference(behind);
    }
  }

  async #restore(panel: vscode.WebviewPanel, state: unknown): Promise<void> {
    const log = (state as Partial<ViewState> | undefined)?.log;
    if (typeof log !== 'string') {
      panel.dispose();
      return;
    }
    const uri = vscode.Uri.parse(log);
    if (this.get(uri)) {
      // Opened anew before the one of the earlier start was come back to.
      panel.dispose();
      this.open(uri);
      return;
    }
    this.#add(uri, panel);
  }

  /** What a page asks for and does not come about is told: there is no command whose failure the editor would show. */
  async #serveOrTell(view: LogView, notice: FromView): Promise<void> {
    try {
      await this.#serve(view, notice);
    } catch (error) {
      void vscode.window.showErrorMessage(wordsOf(error));
    }
  }

  async #reveal(view: LogView, notice: Extract<FromView, { readonly type: 'reveal' }>): Promise<void> {
    const options = { ...notice, column: textColumnBeside(view.panel) };
    const log = this.#logs.get(view.uri);
    if (log && notice.file === undefined) await leadToLine(log, notice.line, options);
    else await revealLine(beside(view.uri, headerEnding), notice.line, options);
  }

  async #serve(view: LogView, notice: FromView): Promise<void> {
    switch (notice.type) {
      case 'ready':
        this.#ready.fire(view);
        break;
      case 'reveal':
        await this.#reveal(view, notice);
        break;
      case 'save':
        await saveExport(view.uri, notice.name, notice.mime, notice.bytes);
        break;
      case 'copy':
        await vscode.env.clipboard.writeText(notice.text);
        vscode.window.setStatusBarMessage(`Underplate: ${notice.what} copied`, 4000);
        break;
      case 'chooseReference':
        await chooseReference(view);
        break;
      case 'chooseGoodBuilds':
        await compareWithGoodBuilds(this.#logs, view);
        break;
      case 'dropGoodBuilds':
        view.setGoodBuilds(undefined);
        break;
      case 'cancel':
        view.stop();
        break;
      case 'readAgain':
        view.readAgain();
        break;
      case 'settings':
        view.restartWithDatum(notice.datum);
        break;
      default:
        await this.#notes.onNotice(view.uri, notice);
    }
  }
}

/** Text that is not open yet opens in the first group, or left of the view where that is the first. */
function textColumnBeside(panel: vscode.WebviewPanel): vscode.ViewColumn {
  return panel.viewColumn === vscode.ViewColumn.One ? vscode.ViewColumn.Two : vscode.ViewColumn.One;
}

/** Asks for the log to be drawn behind this one. */
export async function chooseReference(view: LogView): Promise<void> {
  const logs = await otherLogs(view.uri);
  const items = [
    ...logs.map((uri) => ({ label: vscode.workspace.asRelativePath(uri), uri, action: 'file' as const })),
    { label: '$(folder-opened) Another file…', action: 'browse' as const },
    { label: '$(close) No second log', action: 'none' as const },
  ];
  const picked = await vscode.window.showQuickPick(items, {
    title: 'Log to draw behind this one',
    placeHolder: 'A good build of the same job shows best what is different',
  });
  if (!picked) return;
  if (picked.action === 'none') view.setReference(undefined);
  else if (picked.action === 'file') view.setReference(picked.uri);
  else {
    const [uri] = (await vscode.window.showOpenDialog({ filters: logFilters })) ?? [];
    if (uri) view.setReference(uri);
  }
}
