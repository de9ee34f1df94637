// Which tables of the workspace have a header beside them: menus offer the plate view for these as for logs by name, and
// only this tells them from any other table.
import * as vscode from 'vscode';
import { headerEnding } from '../core/besideLog.ts';

/** Menus ask `resource in underplate.tables`; so it stands in package.json. */
const contextKey = 'underplate.tables';
const headers = `**/*${headerEnding}`;

export function registerTablesWithHeader(): vscode.Disposable {
  const tables = new Set<string>();
  const tell = (): void => void vscode.commands.executeCommand('setContext', contextKey, [...tables]);
  const tableOf = (header: vscode.Uri): string =>
    header.with({ path: header.path.slice(0, -headerEnding.length) }).toString();
  const watcher = vscode.workspace.createFileSystemWatcher(headers, false, true, false);
  void vscode.workspace.findFiles(headers).then((found) => {
    found.forEach((header) => tables.add(tableOf(header)));
    tell();
  });
  return vscode.Disposable.from(
    watcher,
    watcher.onDidCreate((header) => {
      tables.add(tableOf(header));
      tell();
    }),
    watcher.onDidDelete((header) => {
      tables.delete(tableOf(header));
      tell();
    }),
  );
}
