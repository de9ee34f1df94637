// The extension's start: makes the parts and registers them, nothing more. Whatever goes wrong here is shown, since the
// editor itself would only note it in a log.
import * as vscode from 'vscode';
import { wordsOf } from '../core/problem.ts';
import { registerAgentTools } from './agentTools.ts';
import { registerCommands } from './commands.ts';
import { CompanionProblems } from './companionProblems.ts';
import { registerCursorLink } from './cursorLink.ts';
import { registerEventLenses } from './eventLenses.ts';
import { registerEventMarks } from './eventMarks.ts';
import { registerExcerpts } from './excerpt.ts';
import { registerFindings } from './findings.ts';
import { registerFolding } from './folding.ts';
import { registerGrowthNews } from './growthNews.ts';
import { registerHeaderCompletion } from './headerCompletion.ts';
import { registerHeaderProblems } from './headerProblems.ts';
import { registerLargeFiles } from './largeFiles.ts';
import { Logs } from './logs.ts';
import { NoteBooks } from './noteBooks.ts';
import { NoteCommands } from './noteCommands.ts';
import { NoteThreads } from './noteThreads.ts';
import { registerOutline } from './outline.ts';
import { registerRenaming } from './renaming.ts';
import { registerRowHover } from './rowHover.ts';
import { registerStatusBar } from './statusBar.ts';
import { registerTablesWithHeader } from './tablesWithHeader.ts';
import { Views } from './views.ts';

export function activate(context: vscode.ExtensionContext): void {
  try {
    register(context);
  } catch (error) {
    const reason = wordsOf(error);
    void vscode.window.showErrorMessage(
      `Underplate could not start: ${reason}. Reload the window; if it stays so, report it.`,
    );
    throw error;
  }
}

function register(context: vscode.ExtensionContext): void {
  const logs = new Logs(context);
  const companions = new CompanionProblems(logs);
  const books = new NoteBooks(logs);
  const threads = new NoteThreads(logs, books);
  const notes = new NoteCommands(logs, books, threads, () => views.activeLog());
  const views: Views = new Views(context.extensionUri, logs, books, notes);
  context.subscriptions.push(
    logs,
    companions,
    books,
    threads,
    notes,
    views,
    registerAgentTools(logs),
    registerCommands(logs, views),
    registerCursorLink(views),
    registerEventLenses(logs),
    registerEventMarks(context.extensionUri, logs),
    registerExcerpts(logs),
    registerFindings(logs, companions),
    registerFolding(),
    registerGrowthNews(logs, views),
    registerHeaderCompletion(),
    registerHeaderProblems(),
    registerLargeFiles(views),
    registerOutline(logs),
    registerRenaming(),
    registerRowHover(logs),
    registerStatusBar(logs, views),
    registerTablesWithHeader(),
  );
}
