// What the editor cannot do with large files, said where it matters, with the way round it.
import * as vscode from 'vscode';
import { isLog } from './logFile.ts';
import { columnOf } from './reveal.ts';
import type { Views } from './views.ts';

/** The editor's megabyte, in bytes: its limits are told in these. */
const editorMb = 1024 * 1024;
/** The editor shares no text with extensions above this. */
const editorLimitMb = 50;

export function registerLargeFiles(views: Views): vscode.Disposable {
  return views.onDidGetReady(async (view) => {
    const size = await sizeOf(view.uri);
    if (size === undefined) return;
    const readable = size <= editorLimitMb * editorMb;
    const note = readable
      ? ''
      : // Rounded up, lest a log just above the limit is told to be of it.
        `This log is ${Math.ceil(size / editorMb)} MB. Above ${editorLimitMb} MB the editor shows no notes, hovers and ` +
        'marks in the text and does not tell where its cursor is, so the view leads to the text but not back. ' +
        "'Show Lines Around a Place' opens an excerpt that has all of this.";
    view.tell({ type: 'limits', textCursor: readable, note });
  });
}

/** In bytes; undefined where the log is gone, which its analysis tells. */
async function sizeOf(uri: vscode.Uri): Promise<number | undefined> {
  try {
    return (await vscode.workspace.fs.stat(uri)).size;
  } catch {
    return undefined;
  }
}

/**
 * In remote windows the editor shows a placeholder instead of a file above 10 MB. Says so once, and offers to raise the
 * limit. `uri`: the log the user asked to see.
 */
export async function explainPlaceholder(uri: vscode.Uri): Promise<void> {
  if (!isLog(uri)) return;
  const setting = vscode.workspace.getConfiguration('workbench');
  const limitMb = setting.get<number>('editorLargeFileConfirmation');
  const size = await sizeOf(uri);
  if (limitMb === undefined || size === undefined || size <= limitMb * editorMb) return;
  const raise = 'Open Files up to 1 GB';
  const answer = await vscode.window.showInformationMessage(
    `The editor asks before it opens files above ${limitMb} MB in this window. The plate view works without the text; ` +
      'to have both side by side, let it open larger files.',
    raise,
  );
  if (answer !== raise) return;
  await setting.update('editorLargeFileConfirmation', 1024, vscode.ConfigurationTarget.Global);
  // A placeholder that is there already stays until its file is opened again.
  const viewColumn = columnOf(uri);
  if (viewColumn) await vscode.commands.executeCommand('vscode.open', uri, { viewColumn, preview: false });
}
