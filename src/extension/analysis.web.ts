// Starts the analysis of one log in a web worker; its bytes come through the editor.
import * as vscode from 'vscode';
import { startAnalysis } from '../worker/client.ts';
import type { AnalysisHandle } from '../worker/client.ts';
import { startThread } from '../worker/thread.web.ts';
import type { LogRequest } from './logRequest.ts';
import { openRequest, workspaceSource } from './logRequest.ts';

export async function startLogAnalysis(request: LogRequest): Promise<AnalysisHandle> {
  const { uri, context } = request;
  const script = vscode.Uri.joinPath(context.extensionUri, 'dist', 'worker', 'start.web.js');
  const thread = startThread(script.toString(true));
  return startAnalysis(thread, await openRequest(request, '', ''), workspaceSource(uri));
}
