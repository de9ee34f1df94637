// The view beside the text: its panel, its life (opened, hidden, restored after a restart) and the talk with its page.
// The page says `ready` and is told everything; while it is hidden the editor drops messages, so it asks anew when shown.
import * as vscode from 'vscode';
import type { AnalysisCalls, LogSummary } from '../messages/analysis.ts';
import { Channel } from '../messages/channel.ts';
import type { Port } from '../messages/channel.ts';
import type { GoodBuilds } from '../messages/goodBuilds.ts';
import type { FromView, NoteMark, ToView, ViewCalls } from '../messages/view.ts';
import { summaryChanges } from '../messages/summaryChanges.ts';
import { fromWire, toWire } from '../messages/wire.ts';
import { fileName, versionOf } from './logFile.ts';
import type { Logs, OpenLog } from './logs.ts';
import { pageOf } from './viewPage.ts';

export const viewType = 'underplate.view';

/** What a view cannot do itself; one feature each takes care of it. */
export interface ViewActions {
  onNotice(view: LogView, notice: FromView): void;
  notesOf(uri: vscode.Uri): readonly NoteMark[];
}

export class LogView {
  readonly uri: vscode.Uri;
  readonly panel: vscode.WebviewPanel;
  readonly #log: OpenLog;
  readonly #logs: Logs;
  readonly #channel: Channel<ToView, FromView>;
  readonly #actions: ViewActions;
  readonly #disposables: vscode.Disposable[] = [];
  #reference: { readonly log: OpenLog; readonly release: vscode.Disposable } | undefined;
  #goodBuilds: GoodBuilds | undefined;
  /** What the page, and the page about the second log, has been told last. */
  #told: LogSummary | undefined;
  #toldOfReference: LogSummary | undefined;
  #ready = false;
  #waiting: ToView[] = [];

  constructor(uri: vscode.Uri, panel: vscode.WebviewPanel, extension: vscode.Uri, logs: Logs, actions: ViewActions) {
    this.uri = uri;
    this.panel = panel;
    this.#logs = logs;
    this.#actions = actions;
    const { log, release } = logs.keep(uri);
    this.#log = log;
    panel.webview.options = {
      enableScripts: true,
      localResourceRoots: [vscode.Uri.joinPath(extension, 'dist', 'webview')],
    };
    this.#channel = new Channel(webviewPort(panel.webview, this.#disposables));
    this.#channel.onNotice((notice) => this.#receive(notice));
    this.#channel.serve<ViewCalls>(this.#calls(), [
      'window',
      'state',
      'place',
      'excerpt',
      'problems',
      'referenceWindow',
    ]);
    this.#disposables.push(
      release,
      logs.onDidChange((changed) => this.#summaryChanged(changed)),
      logs.onDidProgress((changed) => this.#summaryChanged(changed)),
    );
    panel.title = titleOf(uri);
    panel.webview.html = pageOf(panel.webview, extension, uri);
  }

  get summary(): LogSummary | undefined {
    return this.#log.summary;
  }

  get calls(): AnalysisCalls | undefined {
    return this.#log.calls;
  }

  /** Tells the page, now or when it is ready. */
  tell(notice: ToView): void {
    if (this.#ready) this.#channel.notify(notice);
    else this.#waiting.push(notice);
  }

  /** The log drawn behind this one. */
  get reference(): vscode.Uri | undefined {
    return this.#reference?.log.uri;
  }

  /** Takes another log to be drawn behind this one, or takes it away. */
  setReference(uri: vscode.Uri | undefined): void {
    this.#reference?.release.dispose();
    this.#reference = uri && this.#logs.keep(uri);
    this.#toldOfReference = undefined;
    if (this.#reference?.log.summary) this.#tellOfReference();
    else this.tell({ type: 'reference', changes: undefined });
  }

  /** Shows a comparison with good builds, or takes it away. */
  setGoodBuilds(comparison: GoodBuilds | undefined): void {
    this.#goodBuilds = comparison;
    this.tell({ type: 'goodBuilds', comparison });
  }

  /** Ends following, or the reading that is under way. */
  stop(): void {
    this.#log.stop();
  }

  /** Takes up what was stopped, or failed. */
  readAgain(): void {
    this.#log.takeUp();
  }

  restartWithDatum(datum: { readonly fromS: number; readonly toS: number }): void {
    this.#log.restartWithDatum(datum);
  }

  dispose(): void {
    this.#channel.dispose();
    this.#reference?.release.dispose();
    this.#disposables.forEach((disposable) => disposable.dispose());
  }

  #receive(notice: FromView): void {
    if (notice.type !== 'ready') {
      this.#actions.onNotice(this, notice);
      return;
    }
    this.#ready = true;
    this.#told = undefined;
    this.#toldOfReference = undefined;
    this.#tellOfLog();
    this.tell({ type: 'notes', notes: this.#actions.notesOf(this.uri) });
    this.#tellOfReference();
    if (this.#goodBuilds) this.tell({ type: 'goodBuilds', comparison: this.#goodBuilds });
    this.#waiting.splice(0).forEach((waiting) => this.tell(waiting));
    this.#actions.onNotice(this, notice);
  }

  #summaryChanged(changed: OpenLog): void {
    if (changed === this.#log) this.#tellOfLog();
    if (changed === this.#reference?.log) this.#tellOfReference();
  }

  #tellOfLog(): void {
    const { summary } = this.#log;
    if (!this.#ready || !summary) return;
    this.tell({ type: 'summary', changes: summaryChanges(this.#told, summary) });
    this.#told = summary;
  }

  #tellOfReference(): void {
    const summary = this.#reference?.log.summary;
    if (!this.#ready || !summary) return;
    this.tell({ type: 'reference', changes: summaryChanges(this.#toldOfReference, summary) });
    this.#toldOfReference = summary;
  }

  #calls(): ViewCalls {
    // The page draws on while its log begins to be read anew; its questions wait, here and in the worker.
    const own = (): Promise<AnalysisCalls> => this.#log.ready();
    return {
      window: async (request) => (await own()).window(request),
      state: async (request) => (await own()).state(request),
      place: async (request) => (await own()).place(request),
      excerpt: async (request) => (await own()).excerpt(request),
      problems: async (request) => (await own()).problems(request),
      referenceWindow: async (request) => {
        if (!this.#reference) throw new Error('no second log is chosen');
        return (await this.#reference.log.ready()).window(request);
      },
    };
  }
}

/** What stands on the view's tab. */
export function titleOf(uri: vscode.Uri): string {
  const version = versionOf(uri);
  return `Plate: ${fileName(uri)}${version === '' ? '' : ` (${version})`}`;
}

function webviewPort(webview: vscode.Webview, disposables: vscode.Disposable[]): Port {
  return {
    post: (message) => void webview.postMessage(toWire(message)),
    onMessage: (listener) => disposables.push(webview.onDidReceiveMessage((message) => listener(fromWire(message)))),
  };
}
