// Which tables of the workspace have a header beside them: menus offer the plate view for these as for logs by name, and
// only this tells them from any other table.
import * as vscode from 'vscode';
import { headerEnding } from '../core/besideLog.ts';

/**
 * Menus ask `resourcePath in underplate.tables`; so it stands in package.json. Not by address: where the extension runs on
 * another machine, the window has another one for the same file.
 */
const contextKey = 'underplate.tables';
const headers = `**/*${headerEnding}`;

export function registerTablesWithHeader(): vscode.Disposable {
  const tables = new Set<string>();
  const tell = (): void => void vscode.commands.executeCommand('setContext', contextKey, [...tables]);
  // A window that shares the machine writes the path as the system does, any other one with slashes.
  const pathsOf = ({ path, fsPath }: vscode.Uri): string[] =>
    [path, fsPath].map((one) => one.slice(0, -headerEnding.length));
  const watcher = vscode.workspace.createFileSystemWatcher(headers, false, true, false);
  void vscode.workspace.findFiles(headers).then((found) => {
    found.flatMap(pathsOf).forEach((table) => tables.add(table));
    tell();
  });
  return vscode.Disposable.from(
    watcher,
    watcher.onDidCreate((header) => {
      pathsOf(header).forEach((table) => tables.add(table));
      tell();
    }),
    watcher.onDidDelete((header) => {
      pathsOf(header).forEach((table) => tables.delete(table));
      tell();
    }),
  );
}
