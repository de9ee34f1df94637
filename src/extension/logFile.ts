// Which documents and tabs are strain logs, and which log the user has in front.
import * as vscode from 'vscode';

export const languageId = 'strain-log';
export const excerptScheme = 'underplate-excerpt';

/** Selects the text of logs wherever they are kept. Excerpts are of another language and have providers of their own. */
export const logSelector: vscode.DocumentSelector = { language: languageId };

/** Selects what may be the text of a log, foreign tables with a header beside them included. */
export const rowSelector: vscode.DocumentSelector = [
  { language: languageId },
  { pattern: '**/*.{csv,tsv,txt,dat,log}' },
];

/** Schemes of documents that may be named like a log but have no file to analyse. */
const notFiles = new Set([excerptScheme, 'comment', 'output', 'untitled', 'search-editor']);

/** The analysis knows the file; a line of a text that is not saved may be another line there. */
export const unsavedHint = 'Save the log first: its lines may stand elsewhere in the file that was analysed.';

export function isUnsaved(log: vscode.Uri): boolean {
  const key = log.toString();
  return vscode.workspace.textDocuments.some(({ uri, isDirty }) => isDirty && uri.toString() === key);
}

export function isLog(uri: vscode.Uri): boolean {
  return !notFiles.has(uri.scheme) && uri.path.toLowerCase().endsWith('.strain.csv');
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
