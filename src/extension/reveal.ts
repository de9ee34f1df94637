// Leads from a finding to its lines. `vscode.open` with a selection works for a file of any size, where showing a
// document stops at the editor's limit of 50 MB.
import * as vscode from 'vscode';
import { filesOfTab } from './logFile.ts';

export interface RevealOptions {
  /** Last line of the selection; the line itself where left out. */
  readonly toLine?: number | undefined;
  readonly preserveFocus?: boolean;
  /** Where to open the text if it is not open yet. */
  readonly column?: vscode.ViewColumn;
}

/** Where each file was led to last. */
const lastLines = new Map<string, number>();

/** The line (from 1) that this file was led to last, 0 where it never was: of a large one, no cursor is known. */
export function lastRevealed(uri: vscode.Uri): number {
  return lastLines.get(uri.toString()) ?? 0;
}

export function noteRevealed(uri: vscode.Uri, line: number): void {
  lastLines.set(uri.toString(), line);
}

/** Shows `line` (from 1) of the log, in the group that shows the log already, and puts the cursor there. */
export async function revealLine(uri: vscode.Uri, line: number, options: RevealOptions = {}): Promise<void> {
  noteRevealed(uri, line);
  const from = new vscode.Position(Math.max(0, line - 1), 0);
  const to = options.toLine === undefined ? from : new vscode.Position(options.toLine, 0);
  await vscode.commands.executeCommand('vscode.open', uri, {
    selection: new vscode.Range(from, to),
    viewColumn: columnOf(uri) ?? options.column ?? vscode.ViewColumn.One,
    preserveFocus: options.preserveFocus ?? false,
    preview: false,
  } satisfies vscode.TextDocumentShowOptions);
}

/** The editor group that shows the log's text, wherever it is. */
export function columnOf(uri: vscode.Uri): vscode.ViewColumn | undefined {
  const key = uri.toString();
  const groups = vscode.window.tabGroups.all.filter((group) =>
    group.tabs.some(
      (tab) => tab.input instanceof vscode.TabInputText && filesOfTab(tab).some((file) => file.toString() === key),
    ),
  );
  const shown = groups.find(
    (group) => group.activeTab && filesOfTab(group.activeTab).some((file) => file.toString() === key),
  );
  return (shown ?? groups[0])?.viewColumn;
}
