// Starts the analysis of one log in a worker thread: a file on this machine by its path, anything else by its bytes.
import { fileURLToPath } from 'node:url';
import * as vscode from 'vscode';
import { startAnalysis } from '../worker/client.ts';
import type { AnalysisHandle } from '../worker/client.ts';
import { startThread } from '../worker/thread.node.ts';
import type { LogRequest } from './logRequest.ts';
import { openRequest, workspaceSource } from './logRequest.ts';

export async function startLogAnalysis(request: LogRequest): Promise<AnalysisHandle> {
  const { uri, context } = request;
  const script = vscode.Uri.joinPath(context.extensionUri, 'dist', 'worker', 'start.mjs');
  const onDisk = uri.scheme === 'file';
  const path = onDisk ? uri.fsPath : '';
  const open = await openRequest(request, path, onDisk ? context.globalStorageUri.fsPath : '');
  const thread = startThread(fileURLToPath(script.toString()));
  return startAnalysis(thread, open, onDisk ? undefined : workspaceSource(uri));
}
