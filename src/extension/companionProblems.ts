// What is wrong with the header beside a foreign table (`<log>.header.yaml`), shown in that file: as it is typed while it
// is open, else as it was saved. The analysis reports the same among the log's own problems; `has` tells them apart.
import * as vscode from 'vscode';
import { headerEnding } from '../core/besideLog.ts';
import type { Problem } from '../core/problem.ts';
import { longestExcerpt } from '../messages/analysis.ts';
import { diagnosticSource, problemDiagnostic } from './diagnostics.ts';
import { beside, fileName, isLog } from './logFile.ts';
import type { Logs, OpenLog } from './logs.ts';

const pauseMs = 200;
/** Lines after those skipped, among which the row of names and the first rows are sought. */
const linesSeen = 200;

export class CompanionProblems implements vscode.Disposable {
  readonly #logs: Logs;
  readonly #collection = vscode.languages.createDiagnosticCollection(`${diagnosticSource}-companion`);
  readonly #found = new Map<string, ReadonlySet<string>>();
  readonly #change = new vscode.EventEmitter<OpenLog>();
  readonly #listeners: vscode.Disposable;
  /** By the log whose companion was typed in. */
  readonly #timers = new Map<string, ReturnType<typeof setTimeout>>();

  /** The problems of this log's companion are others now. */
  readonly onDidChange = this.#change.event;

  constructor(logs: Logs) {
    this.#logs = logs;
    this.#listeners = vscode.Disposable.from(
      this.#collection,
      this.#change,
      logs.onDidChange((log) => this.#look(log)),
      logs.onDidClose((uri) => this.#forget(uri)),
      vscode.workspace.onDidChangeTextDocument(({ document }) => this.#typed(document.uri)),
    );
  }

  /** True for a problem whose place is in the companion, not in the log. */
  has(log: vscode.Uri, problem: Problem): boolean {
    return this.#found.get(log.toString())?.has(keyOf(problem)) ?? false;
  }

  dispose(): void {
    this.#timers.forEach((timer) => clearTimeout(timer));
    this.#listeners.dispose();
  }

  #forget(log: vscode.Uri): void {
    clearTimeout(this.#timers.get(log.toString()));
    this.#timers.delete(log.toString());
    this.#found.delete(log.toString());
    this.#collection.delete(beside(log, headerEnding));
  }

  #look(log: OpenLog): void {
    if (isLog(log.uri) || log.summary?.state === 'reading') return;
    // An analysis that is replaced meanwhile answers no more; the next one's summary comes here again.
    void this.#check(log).catch(() => undefined);
  }

  #typed(uri: vscode.Uri): void {
    const log = this.#logs.all().find((one) => beside(one.uri, headerEnding).toString() === uri.toString());
    if (!log) return;
    const key = log.uri.toString();
    clearTimeout(this.#timers.get(key));
    this.#timers.set(
      key,
      setTimeout(() => this.#look(log), pauseMs),
    );
  }

  async #check(log: OpenLog): Promise<void> {
    const { uri, calls } = log;
    const companion = beside(uri, headerEnding);
    const text = await textOf(companion);
    if (!calls || text === undefined) return;
    const { parseCompanion, readCompanion, splitBeside } = await import('../core/header/parseCompanion.ts');
    const read = readCompanion(text);
    const asked = Math.min(longestExcerpt, read.table.skipLines + linesSeen);
    const { lines } = await calls.excerpt({ line: 1, before: 0, after: asked - 1 });
    const split = splitBeside(new TextEncoder().encode(lines.map((line) => `${line}\n`).join('')), read, true);
    if (split === 'need-more') return;
    const said = parseCompanion(read, { ...split, name: fileName(uri) }).problems;
    // Names that are not among the lines seen may stand in those that were not.
    const unseen = split.namesLine === 0 && (lines.length === 0 || lines.length >= asked);
    const problems = said.filter(({ code }) => !unseen || code !== 'names-missing');
    this.#collection.set(companion, problems.map(problemDiagnostic));
    const found = new Set(problems.map(keyOf));
    const before = this.#found.get(uri.toString());
    this.#found.set(uri.toString(), found);
    if (before?.size !== found.size || [...found].some((key) => !before.has(key))) this.#change.fire(log);
  }
}

function keyOf({ range, code, message }: Problem): string {
  return [range.line, range.column, code, message].join(' ');
}

async function textOf(uri: vscode.Uri): Promise<string | undefined> {
  const open = vscode.workspace.textDocuments.find((document) => document.uri.toString() === uri.toString());
  if (open) return open.getText();
  try {
    return new TextDecoder().decode(await vscode.workspace.fs.readFile(uri));
  } catch {
    return undefined;
  }
}
