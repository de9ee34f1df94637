// Events and data problems of the analysed logs in the editor's list of problems: worst first, and where the editor
// would stop counting, one entry that says how many more there are.
import * as vscode from 'vscode';
import { headerEnding } from '../core/besideLog.ts';
import { datumCode } from '../core/pipeline/datumProblems.ts';
import { rank } from '../core/problem.ts';
import type { Problem } from '../core/problem.ts';
import type { LogSummary } from '../messages/analysis.ts';
import type { CompanionProblems } from './companionProblems.ts';
import { diagnostic, diagnosticSource, eventDiagnostic, problemDiagnostic } from './diagnostics.ts';
import { headerText } from './headerText.ts';
import { beside, languageId } from './logFile.ts';
import type { Logs } from './logs.ts';
import { lineRange } from './places.ts';

/** The editor keeps 1000 entries a file. */
const mostEntries = 1000;

export function registerFindings(logs: Logs, companions: CompanionProblems): vscode.Disposable {
  // One collection a log: the editor's limit of 1100 entries in all holds for each collection.
  const collections = new Map<string, vscode.DiagnosticCollection>();
  const show = (uri: vscode.Uri, summary: LogSummary): void => {
    const key = uri.toString();
    const collection = collections.get(key) ?? vscode.languages.createDiagnosticCollection(diagnosticSource);
    collections.set(key, collection);
    const live = headerIsShownLive(uri);
    // Without a row of names all there is to say is said of the header.
    const lastLine = summary.namesLine || Infinity;
    const elsewhere = (problem: Problem): boolean =>
      problem.file !== undefined || (live && problem.range.line <= lastLine && problem.code !== datumCode);
    const inCompanion = summary.problems.filter(
      (problem) => problem.file !== undefined && !companions.has(uri, problem),
    );
    collection.set([
      [uri, diagnosticsOf(summary, elsewhere)],
      [beside(uri, headerEnding), inCompanion.map(problemDiagnostic)],
    ]);
  };
  const again = (uri: vscode.Uri): void => {
    const summary = logs.get(uri)?.summary;
    if (summary) show(uri, summary);
  };
  const listeners = vscode.Disposable.from(
    logs.onDidChange(({ uri }) => again(uri)),
    // Whether the header is shown live depends on the text being open.
    vscode.workspace.onDidOpenTextDocument(({ uri }) => again(uri)),
    vscode.workspace.onDidCloseTextDocument(({ uri }) => again(uri)),
    companions.onDidChange(({ uri }) => again(uri)),
    logs.onDidClose((uri) => {
      collections.get(uri.toString())?.dispose();
      collections.delete(uri.toString());
    }),
  );
  return new vscode.Disposable(() => {
    listeners.dispose();
    collections.forEach((collection) => collection.dispose());
  });
}

/** While the text is open, headerProblems.ts reports the header as it is typed; companionProblems.ts one that stands apart. */
function headerIsShownLive(uri: vscode.Uri): boolean {
  return vscode.workspace.textDocuments.some(
    (document) =>
      document.uri.toString() === uri.toString() &&
      document.languageId === languageId &&
      headerText(document) !== undefined,
  );
}

/** `elsewhere`: whether a problem is shown in another way already. */
function diagnosticsOf(summary: LogSummary, elsewhere: (problem: Problem) => boolean): vscode.Diagnostic[] {
  const problems = summary.problems.filter((problem) => !elsewhere(problem));
  const hidden = summary.problemCount - summary.problems.length;
  const entries = [
    ...(summary.state === 'failed' ? [{ severity: 'error' as const, make: () => failure(summary) }] : []),
    ...summary.events.map((event) => ({ severity: event.severity, make: () => eventDiagnostic(event) })),
    ...problems.map((problem) => ({ severity: problem.severity, make: () => problemDiagnostic(problem) })),
  ].sort((a, b) => rank(a) - rank(b));
  const fits = entries.length + hidden <= mostEntries;
  const shown = entries.slice(0, fits ? mostEntries : mostEntries - 1).map(({ make }) => make());
  if (!fits) shown.push(moreEntry(entries.length + hidden - shown.length, summary.namesLine));
  return shown;
}

function moreEntry(count: number, namesLine: number): vscode.Diagnostic {
  const message =
    `${count} more findings are not listed here, since the editor lists ${mostEntries} a file. ` +
    `Run 'Underplate: Show All Findings' for the whole list.`;
  return diagnostic(lineRange(namesLine), message, 'information', 'more-findings');
}

function failure(summary: LogSummary): vscode.Diagnostic {
  return diagnostic(lineRange(1), summary.failure, 'error', 'unreadable-log');
}
