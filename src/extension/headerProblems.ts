// What is wrong with the header, as it is typed, and the fixes where there is one right answer.
import * as vscode from 'vscode';
import { wholeLine } from '../core/problem.ts';
import type { Problem } from '../core/problem.ts';
import { diagnosticSource, problemDiagnostic } from './diagnostics.ts';
import { parsedHeader } from './headerText.ts';
import { languageId, logSelector } from './logFile.ts';
import { editorRange } from './places.ts';

/** Long enough not to judge a half-typed word, short enough to seem at once. */
const pauseMs = 200;

export function registerHeaderProblems(): vscode.Disposable {
  const collection = vscode.languages.createDiagnosticCollection(`${diagnosticSource}-header`);
  const timers = new Map<string, ReturnType<typeof setTimeout>>();
  const found = new Map<string, Found>();

  const check = async (document: vscode.TextDocument): Promise<void> => {
    const { version } = document;
    const problems = (await parsedHeader(document))?.problems ?? [tooLongToWatch];
    if (document.version !== version || document.isClosed) return;
    found.set(document.uri.toString(), { version, problems });
    collection.set(document.uri, problems.map(problemDiagnostic));
  };
  const later = (document: vscode.TextDocument, waitMs: number): void => {
    if (document.languageId !== languageId) return;
    const key = document.uri.toString();
    clearTimeout(timers.get(key));
    timers.set(
      key,
      setTimeout(() => void check(document), waitMs),
    );
  };
  vscode.workspace.textDocuments.forEach((document) => later(document, 0));
  return vscode.Disposable.from(
    collection,
    { dispose: () => timers.forEach(clearTimeout) },
    vscode.workspace.onDidOpenTextDocument((document) => later(document, 0)),
    vscode.workspace.onDidChangeTextDocument(({ document }) => later(document, pauseMs)),
    vscode.workspace.onDidCloseTextDocument(({ uri }) => {
      const key = uri.toString();
      clearTimeout(timers.get(key));
      timers.delete(key);
      found.delete(key);
      collection.delete(uri);
    }),
    vscode.languages.registerCodeActionsProvider(
      logSelector,
      { provideCodeActions: (document, range) => fixesAt(document, range, found.get(document.uri.toString())) },
      { providedCodeActionKinds: [vscode.CodeActionKind.QuickFix] },
    ),
  );
}

/** Said in place, as there are no fixes, completions and hovers either. */
const tooLongToWatch: Problem = {
  range: wholeLine(1),
  severity: 'information',
  code: 'header-not-watched',
  message: 'the header is too long to be checked while it is typed; its problems are found when the log is saved',
};

/** The places of the problems are those of this version of the text. */
interface Found {
  readonly version: number;
  readonly problems: readonly Problem[];
}

function fixesAt(document: vscode.TextDocument, range: vscode.Range, found: Found | undefined): vscode.CodeAction[] {
  if (found?.version !== document.version) return []; // the text is looked through again in a moment
  const here = found.problems.filter((problem) => editorRange(problem.range).intersection(range));
  return here.flatMap((problem) => {
    const fixes = problem.fixes ?? [];
    return fixes.map((fix) => {
      const action = new vscode.CodeAction(fix.title, vscode.CodeActionKind.QuickFix);
      action.edit = new vscode.WorkspaceEdit();
      action.edit.replace(document.uri, editorRange(fix.range), fix.newText);
      action.diagnostics = [problemDiagnostic(problem)];
      action.isPreferred = fixes.length === 1;
      return action;
    });
  });
}
