// When a log is renamed or moved in the editor, its notes and the header beside it go with it.
import * as vscode from 'vscode';
import { headerEnding, notesEnding } from '../core/besideLog.ts';
import { beside } from './logFile.ts';

export function registerRenaming(): vscode.Disposable {
  return vscode.workspace.onWillRenameFiles((event) => event.waitUntil(companionsOf(event.files)));
}

async function companionsOf(files: vscode.FileWillRenameEvent['files']): Promise<vscode.WorkspaceEdit> {
  const edit = new vscode.WorkspaceEdit();
  for (const { oldUri, newUri } of files) {
    for (const ending of [notesEnding, headerEnding]) {
      const companion = beside(oldUri, ending);
      if (await exists(companion)) edit.renameFile(companion, beside(newUri, ending), { ignoreIfExists: true });
    }
  }
  return edit;
}

function exists(uri: vscode.Uri): Promise<boolean> {
  return Promise.resolve(vscode.workspace.fs.stat(uri)).then(
    () => true,
    () => false,
  );
}
