// Events and data problems of the analysed logs in the editor's list of problems: worst first, and where the editor
// would stop counting, one entry that says how many more there are.
import * as vscode from 'vscode';
import type { StrainEvent } from '../core/change/events.ts';
import type { Problem, Severity } from '../core/problem.ts';
import type { LogSummary } from '../messages/analysis.ts';
import { languageId } from './logFile.ts';
import type { Logs } from './logs.ts';
import { diagnosticSeverity, editorRange, lineRange } from './places.ts';

/** The editor keeps 1000 entries a file. */
const mostEntries = 1000;

export const diagnosticSource = 'underplate';

export function registerFindings(logs: Logs): vscode.Disposable {
  // One collection a log: the editor's limit of 1100 entries in all holds for each collection.
  const collections = new Map<string, vscode.DiagnosticCollection>();
  const show = (uri: vscode.Uri, summary: LogSummary): void => {
    const key = uri.toString();
    const collection = collections.get(key) ?? vscode.languages.createDiagnosticCollection(diagnosticSource);
    collections.set(key, collection);
    collection.set(uri, diagnosticsOf(summary, headerIsShownLive(uri)));
  };
  const listeners = vscode.Disposable.from(
    logs.onDidChange((log) => {
      if (log.summary) show(log.uri, log.summary);
    }),
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

/** While the text is open, headerProblems.ts reports the header as it is typed. */
function headerIsShownLive(uri: vscode.Uri): boolean {
  return vscode.workspace.textDocuments.some(
    (document) => document.uri.toString() === uri.toString() && document.languageId === languageId,
  );
}

export function diagnosticsOf(summary: LogSummary, withoutHeader: boolean): vscode.Diagnostic[] {
  const problems = summary.problems.filter((problem) => !withoutHeader || problem.range.line > summary.namesLine);
  const hidden = summary.problemCount - summary.problems.length;
  const entries = [
    ...summary.events.map((event) => ({ severity: event.severity, make: () => eventDiagnostic(event) })),
    ...problems.map((problem) => ({ severity: problem.severity, make: () => problemDiagnostic(problem) })),
  ].sort((a, b) => rank(a.severity) - rank(b.severity));
  const fits = entries.length + hidden <= mostEntries;
  const shown = entries.slice(0, fits ? mostEntries : mostEntries - 1).map(({ make }) => make());
  if (!fits) shown.push(moreEntry(entries.length + hidden - shown.length, summary.namesLine));
  if (summary.state === 'failed') shown.unshift(failure(summary));
  return shown;
}

function rank(severity: Severity): number {
  return ['error', 'warning', 'information'].indexOf(severity);
}

export function eventDiagnostic(event: StrainEvent): vscode.Diagnostic {
  return entry(lineRange(event.line), event.message, event.severity, event.kind);
}

export function problemDiagnostic(problem: Problem): vscode.Diagnostic {
  const folded = problem.folded ? ` (and ${problem.folded} more like it)` : '';
  return entry(editorRange(problem.range), problem.message + folded, problem.severity, problem.code);
}

function moreEntry(count: number, namesLine: number): vscode.Diagnostic {
  const message =
    `${count} more findings are not listed here, since the editor lists ${mostEntries} a file. ` +
    `Run 'Underplate: Show All Findings' for the whole list.`;
  return entry(lineRange(namesLine), message, 'information', 'more-findings');
}

function failure(summary: LogSummary): vscode.Diagnostic {
  return entry(lineRange(1), summary.failure, 'error', 'unreadable-log');
}

function entry(range: vscode.Range, message: string, severity: Severity, code: string): vscode.Diagnostic {
  const diagnostic = new vscode.Diagnostic(range, message, diagnosticSeverity(severity));
  diagnostic.source = diagnosticSource;
  diagnostic.code = code;
  return diagnostic;
}
