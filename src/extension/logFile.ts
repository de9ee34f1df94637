// Which documents and tabs are strain logs, and which log the user has in front.
import * as vscode from 'vscode';
import { isLogName, logEnding } from '../core/besideLog.ts';

export const languageId = 'strain-log';
export const excerptScheme = 'underplate-excerpt';

/** Selects the text of logs wherever they are kept. Excerpts are of another language and have providers of their own. */
export const logSelector: vscode.DocumentSelector = { language: languageId };

/** What the name of a table may end with; a log's own does so, too. */
const tableEndings = ['csv', 'tsv', 'txt', 'dat', 'log'];

/** Selects what may be the text of a log, foreign tables with a header beside them included. */
export const rowSelector: vscode.DocumentSelector = [
  { language: languageId },
  { pattern: `**/*.{${tableEndings.join(',')}}` },
];

/** For the dialog that opens a log. */
export const logFilters = { 'Strain logs': tableEndings };

/** Schemes of documents that may be named like a log but have no file to analyse. */
const notFiles = new Set([excerptScheme, 'comment', 'output', 'untitled', 'search-editor']);

/** The analysis knows the file; a line of a text that is not saved may be another line there. */
export const unsavedHint = 'Save the log first: its lines may stand elsewhere in the file that was analysed.';

export function isUnsaved(log: vscode.Uri): boolean {
  const key = log.toString();
  return vscode.workspace.textDocuments.some(({ uri, isDirty }) => isDirty && uri.toString() === key);
}

export function isLog(uri: vscode.Uri): boolean {
  return !notFiles.has(uri.scheme) && isLogName(uri.path);
}

/** A log, or what may be a foreign table with a header beside it. */
export function mayBeLog(uri: vscode.Uri): boolean {
  return tableEndings.some((ending) => uri.path.toLowerCase().endsWith(`.${ending}`));
}

const mostLogsOffered = 500;

/** The logs of the workspace other than this one, to choose from; others are chosen by their place. */
export async function otherLogs(log: vscode.Uri): Promise<readonly vscode.Uri[]> {
  const found = await vscode.workspace.findFiles(`**/*${logEnding}`, undefined, mostLogsOffered);
  return found.filter((uri) => isLog(uri) && uri.toString() !== log.toString());
}

export function fileName(uri: vscode.Uri): string {
  return uri.path.split('/').at(-1) ?? uri.path;
}

/**
 * The file that belongs to a log and is named after it: `<log><ending>`. A file out of version control carries its path
 * a second time, in the query.
 */
export function beside(log: vscode.Uri, ending: string): vscode.Uri {
  const path = `${log.path}${ending}`;
  if (log.scheme !== 'git') return log.with({ path });
  const query = JSON.parse(log.query) as { path: string };
  return log.with({ path, query: JSON.stringify({ ...query, path: `${query.path}${ending}` }) });
}

/** Which version of a file this is, where it is out of version control; '' for the file itself. */
export function versionOf(log: vscode.Uri): string {
  if (log.scheme !== 'git') return '';
  const { ref } = JSON.parse(log.query) as { ref: string };
  // What is staged, or else committed last, goes by no name.
  if (ref === '' || ref === '~') return 'earlier version';
  return `version ${/^[0-9a-f]{40}$/.test(ref) ? ref.slice(0, 8) : ref}`;
}

/** The files a tab shows: one, or both sides of a comparison. */
export function filesOfTab(tab: vscode.Tab): readonly vscode.Uri[] {
  if (tab.input instanceof vscode.TabInputText) return [tab.input.uri];
  if (tab.input instanceof vscode.TabInputTextDiff) return [tab.input.original, tab.input.modified];
  return [];
}

/**
 * The file in front, whatever it is. Above the editor's size limit there is no active text editor, but a tab.
 */
export function activeFile(): vscode.Uri | undefined {
  const document = vscode.window.activeTextEditor?.document.uri;
  if (document) return document;
  const tab = vscode.window.tabGroups.activeTabGroup.activeTab;
  return tab && filesOfTab(tab).at(-1);
}

export function openTabFiles(): vscode.Uri[] {
  return vscode.window.tabGroups.all.flatMap((group) => group.tabs.flatMap(filesOfTab));
}
