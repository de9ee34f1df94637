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

/** The largest limit that is offered, MB: the editor's own where files and window are on one machine. */
const mostOfferedMb = 1024;

const largeFileSetting = 'editorLargeFileConfirmation';

/** Megabytes above which the editor shows a placeholder instead of a text; undefined where it has no such limit. */
function placeholderMb(): number | undefined {
  return vscode.workspace.getConfiguration('workbench').get<number>(largeFileSetting);
}

/** Whether the editor shows a placeholder instead of the text of a file of so many bytes. */
export function isBehindPlaceholder(bytes: number): boolean {
  return bytes > (placeholderMb() ?? Infinity) * editorMb;
}

/**
 * In remote windows the editor shows a placeholder instead of a file above 10 MB. Says so once, and offers to raise the
 * limit where that helps. `uri`: the log the user asked to see.
 */
export async function explainPlaceholder(uri: vscode.Uri): Promise<void> {
  if (!isLog(uri)) return;
  const size = await sizeOf(uri);
  if (size === undefined || !isBehindPlaceholder(size)) return;
  const raise = 'Open Files up to 1 GB';
  const helps = size <= mostOfferedMb * editorMb;
  const answer = await vscode.window.showInformationMessage(
    `The editor asks before it opens files above ${placeholderMb()} MB in this window. The plate view works without the ` +
      `text and leads to excerpts of it${helps ? '; to have both side by side, let it open larger files.' : '.'}`,
    ...(helps ? [raise] : []),
  );
  if (answer !== raise) return;
  const setting = vscode.workspace.getConfiguration('workbench');
  await setting.update(largeFileSetting, mostOfferedMb, vscode.ConfigurationTarget.Global);
  // A placeholder that is there already stays until its file is opened again.
  const viewColumn = columnOf(uri);
  if (viewColumn) await vscode.commands.executeCommand('vscode.open', uri, { viewColumn, preview: false });
}
