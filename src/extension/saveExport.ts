// Writes what a view exports (SVG, PNG, CSV) where the user says, offered beside the log.
import * as vscode from 'vscode';
import { wordsOf } from '../core/problem.ts';

export async function saveExport(log: vscode.Uri, name: string, mime: string, bytes: Uint8Array): Promise<void> {
  const extension = name.split('.').at(-1) ?? '';
  const target = await vscode.window.showSaveDialog({
    defaultUri: vscode.Uri.joinPath(log, '..', name),
    filters: extension === '' ? {} : { [mime]: [extension] },
  });
  if (!target) return;
  try {
    await vscode.workspace.fs.writeFile(target, new Uint8Array(bytes));
    vscode.window.setStatusBarMessage(`Underplate: saved ${vscode.workspace.asRelativePath(target)}`, 4000);
  } catch (error) {
    const reason = wordsOf(error);
    void vscode.window.showErrorMessage(`${target.path} could not be written: ${reason}. Choose another folder.`);
  }
}
