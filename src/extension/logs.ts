// The logs that are open and their analyses. A log is read while a tab shows it or somebody keeps it (a view, a tool),
// each once, in a worker; features listen to `onDidChange` and read `summary`.
import * as vscode from 'vscode';
import { headerEnding } from '../core/besideLog.ts';
import { emptySummary, isUnderWay } from '../messages/analysis.ts';
import type { AnalysisCalls, LogSummary } from '../messages/analysis.ts';
import type { ProfiledBuild } from '../core/compare/compareBuilds.ts';
import { wordsOf } from '../core/problem.ts';
import type { GoodBuilds } from '../messages/goodBuilds.ts';
import type { CompareRequest } from '../messages/worker.ts';
import { startLogAnalysis } from './analysis.node.ts';
import type { AnalysisHandle } from '../worker/client.ts';
import { beside, fileName, isLog, openTabFiles } from './logFile.ts';
import { analysisSettings, followingSetting, followsGrowth, settingsSection } from './settings.ts';

/** A stretch of the log's time whose mean is to be called zero. */
interface Datum {
  readonly fromS: number;
  readonly toS: number;
}

export class OpenLog {
  readonly uri: vscode.Uri;
  #running: AnalysisHandle | undefined;
  #summary: LogSummary | undefined;
  #following: boolean;
  /** Chosen in the view; undefined where the header's holds. */
  #datum: Datum | undefined;
  #started: Promise<void> = Promise.resolve();
  /** Counts starts, so that what a replaced analysis still says is not heard. */
  #start = 0;
  /** Whether the analysis that runs has said anything, or has failed to start. */
  #heard = false;
  /** Stop was asked for while the analysis was being started. */
  #stopFirst = false;
  #firstWord: Promise<void> = Promise.resolve();
  #hear: () => void = () => undefined;
  readonly #changed: (mereProgress: boolean) => void;
  readonly #context: vscode.ExtensionContext;

  constructor(uri: vscode.Uri, context: vscode.ExtensionContext, changed: (mereProgress: boolean) => void) {
    this.uri = uri;
    this.#context = context;
    this.#changed = changed;
    this.#following = followsGrowth(uri);
    this.#begin(false);
  }

  /**
   * Undefined until the analysis has said its first word. While the log is read anew this is what was known before, as
   * of a log that is being read.
   */
  get summary(): LogSummary | undefined {
    // The analysis goes by the rows it took in last; whether more will be taken in is known here.
    if (this.#summary?.state === 'following' && !this.#following) return { ...this.#summary, state: 'complete' };
    return this.#summary;
  }

  /** Undefined until the analysis has said its first word, and where it could not be started. */
  get calls(): AnalysisCalls | undefined {
    return this.#heard ? this.#running?.calls : undefined;
  }

  /**
   * The calls, once there are any.
   * @throws Error with the remedy where the log cannot be asked.
   */
  async ready(): Promise<AnalysisCalls> {
    for (let start = -1; start !== this.#start;) {
      start = this.#start;
      await this.#firstWord;
    }
    if (!this.calls) throw new Error(this.#summary?.failure || 'the log was closed meanwhile');
    return this.calls;
  }

  /**
   * Reads the log with the settings as they are now and the datum as it was chosen last; `anew`: every row again,
   * whatever is kept of an earlier reading.
   */
  restart({ anew = false } = {}): void {
    this.#begin(anew);
    this.#changed(false);
  }

  restartWithDatum(datum: Datum): void {
    this.#datum = datum;
    this.restart();
  }

  /** Reads the log as the file and the settings say, whatever was chosen since. */
  readAgain(): void {
    this.#datum = undefined;
    this.takeUp({ anew: true });
  }

  /** Reads, and follows, what was stopped or could not be read. */
  takeUp({ anew = false } = {}): void {
    this.#following = followsGrowth(this.uri);
    this.restart({ anew });
  }

  /** The log boiled down to its layers, once it has been read. */
  async profile(): Promise<ProfiledBuild> {
    return (await this.#afterStart()).profile();
  }

  async compare(request: CompareRequest): Promise<GoodBuilds> {
    return (await this.#afterStart()).compare(request);
  }

  /** Ends the reading that is under way, and following: who stops a log wants no more of it read. */
  stop(): void {
    const { summary } = this;
    if (!summary || isUnderWay(summary.state)) {
      if (this.#running) this.#running.cancel();
      else this.#stopFirst = true;
    }
    this.follow(false);
  }

  follow(on: boolean): void {
    this.#following = on;
    this.#running?.follow(on);
    this.#changed(false);
  }

  dispose(): void {
    this.#start++;
    this.#hear();
    this.#running?.dispose();
    this.#running = undefined;
  }

  #begin(anew: boolean): void {
    const start = ++this.#start;
    this.#running?.dispose();
    this.#running = undefined;
    this.#hear(); // whoever waits for the analysis that is replaced waits for this one
    this.#heard = false;
    this.#stopFirst = false;
    this.#firstWord = new Promise((done) => {
      this.#hear = () => {
        this.#heard = true;
        done();
      };
    });
    if (this.#summary) this.#summary = { ...this.#summary, state: 'reading', progress: 0, failure: '' };
    const datum = this.#datum;
    const settings = { ...analysisSettings(this.uri), ...(datum ? { datum } : {}) };
    this.#started = startLogAnalysis({ uri: this.uri, context: this.#context, settings, anew }).then(
      (running) => this.#take(running, start),
      (error: unknown) => this.#fail(error, start),
    );
  }

  async #afterStart(): Promise<AnalysisHandle> {
    await this.#started;
    if (!this.#running) throw new Error(this.#summary?.failure || 'the log was closed meanwhile');
    return this.#running;
  }

  #take(running: AnalysisHandle, start: number): void {
    if (start !== this.#start) {
      running.dispose();
      return;
    }
    this.#running = running;
    if (this.#stopFirst) running.cancel();
    running.onSummary((summary, mereProgress) => {
      if (start !== this.#start) return;
      this.#hear();
      this.#summary = summary;
      this.#changed(mereProgress);
    });
    // A log is followed from where its first reading ended.
    void running.opened.then(() => {
      if (start === this.#start && this.#following && this.#summary?.state !== 'stopped') running.follow(true);
    });
  }

  #fail(error: unknown, start: number): void {
    if (start !== this.#start) return;
    this.#hear();
    const failure = wordsOf(error);
    this.#summary = { ...(this.#summary ?? emptySummary(fileName(this.uri))), state: 'failed', failure };
    this.#changed(false);
  }
}

export class Logs implements vscode.Disposable {
  readonly #context: vscode.ExtensionContext;
  readonly #open = new Map<string, OpenLog>();
  readonly #kept = new Map<string, number>();
  readonly #change = new vscode.EventEmitter<OpenLog>();
  readonly #progress = new vscode.EventEmitter<OpenLog>();
  readonly #begin = new vscode.EventEmitter<OpenLog>();
  readonly #close = new vscode.EventEmitter<vscode.Uri>();
  readonly #listeners: vscode.Disposable;

  /** A log's summary or state changed, other than by progress alone. */
  readonly onDidChange = this.#change.event;
  /** A log is read further, and nothing else is known of it. */
  readonly onDidProgress = this.#progress.event;
  /** A log began to be read because its text was opened. */
  readonly onDidShow = this.#begin.event;
  readonly onDidClose = this.#close.event;

  constructor(context: vscode.ExtensionContext) {
    this.#context = context;
    this.#listeners = vscode.Disposable.from(
      vscode.window.tabGroups.onDidChangeTabs(() => this.#reconcile()),
      vscode.workspace.onDidSaveTextDocument(({ uri }) => this.#saved(uri)),
      vscode.workspace.onDidChangeConfiguration((change) => {
        if (change.affectsConfiguration(`${settingsSection}.detection`)) this.all().forEach((log) => log.restart());
        if (change.affectsConfiguration(`${settingsSection}.${followingSetting}`))
          this.all().forEach((log) => log.follow(followsGrowth(log.uri)));
      }),
    );
    this.#reconcile();
  }

  all(): readonly OpenLog[] {
    return [...this.#open.values()];
  }

  get(uri: vscode.Uri): OpenLog | undefined {
    return this.#open.get(uri.toString());
  }

  /** The log, read now if it was not; it stays open until the answer is disposed. */
  keep(uri: vscode.Uri): { readonly log: OpenLog; readonly release: vscode.Disposable } {
    const key = uri.toString();
    this.#kept.set(key, (this.#kept.get(key) ?? 0) + 1);
    const log = this.#start(uri);
    let released = false;
    const release = new vscode.Disposable(() => {
      if (released) return;
      released = true;
      this.#kept.set(key, (this.#kept.get(key) ?? 1) - 1);
      this.#reconcile();
    });
    return { log, release };
  }

  dispose(): void {
    this.#listeners.dispose();
    for (const log of this.#open.values()) log.dispose();
    this.#open.clear();
    this.#change.dispose();
    this.#progress.dispose();
    this.#begin.dispose();
    this.#close.dispose();
  }

  #start(uri: vscode.Uri): OpenLog {
    const key = uri.toString();
    const known = this.#open.get(key);
    if (known) return known;
    const log: OpenLog = new OpenLog(uri, this.#context, (mereProgress) =>
      (mereProgress ? this.#progress : this.#change).fire(log),
    );
    this.#open.set(key, log);
    return log;
  }

  /** A log is read anew when it, or the header beside it, is saved. */
  #saved(uri: vscode.Uri): void {
    const saved = uri.toString();
    const log = this.all().find((one) =>
      [one.uri, beside(one.uri, headerEnding)].some((file) => file.toString() === saved),
    );
    log?.restart({ anew: saved === log.uri.toString() });
  }

  #reconcile(): void {
    const shown = openTabFiles().filter(isLog);
    for (const uri of shown) {
      if (!this.get(uri)) this.#begin.fire(this.#start(uri));
    }
    const wanted = new Set(shown.map(String));
    for (const [key, log] of this.#open) {
      if (wanted.has(key) || (this.#kept.get(key) ?? 0) > 0) continue;
      this.#open.delete(key);
      this.#kept.delete(key);
      log.dispose();
      this.#close.fire(log.uri);
    }
  }
}

/** Why no place can be found in a log. */
export function unreadReason(summary: LogSummary | undefined): string {
  if (!summary || isUnderWay(summary.state)) return 'the log is not read yet';
  if (summary.state === 'stopped') return 'the reading was stopped too soon; read the log again';
  if (summary.failure !== '') return summary.failure;
  return summary.header ? 'the log holds no rows' : "the log's header has errors; mend them first (see Problems)";
}
