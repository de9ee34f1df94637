// Starts the analysis of one log in a worker thread: a file on this machine by its path, anything else by its bytes.
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import * as vscode from 'vscode';
import { startGathered } from '../worker/client.ts';
import type { AnalysisHandle } from '../worker/client.ts';
import { startThread } from '../worker/thread.node.ts';
import type { LogRequest } from './logRequest.ts';
import { openRequest, workspaceSource } from './logRequest.ts';

/** A file on this machine is read here: the way through the editor's window is long while a view is being opened there. */
const readCompanion = (uri: vscode.Uri): Thenable<Uint8Array> =>
  uri.scheme === 'file' ? readFile(uri.fsPath) : vscode.workspace.fs.readFile(uri);

export async function startLogAnalysis(request: LogRequest): Promise<AnalysisHandle> {
  const { uri, context } = request;
  const script = vscode.Uri.joinPath(context.extensionUri, 'dist', 'worker', 'start.mjs');
  const onDisk = uri.scheme === 'file';
  const path = onDisk ? uri.fsPath : '';
  const thread = startThread(fileURLToPath(script.toString()));
  const open = openRequest(request, path, onDisk ? context.globalStorageUri.fsPath : '', readCompanion);
  return startGathered(thread, open, onDisk ? undefined : workspaceSource(uri));
}
