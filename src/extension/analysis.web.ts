// Starts the analysis of one log in a web worker; its bytes come through the editor.
import * as vscode from 'vscode';
import { startGathered } from '../worker/client.ts';
import type { AnalysisHandle } from '../worker/client.ts';
import { startThread } from '../worker/thread.web.ts';
import type { LogRequest } from './logRequest.ts';
import { openRequest, workspaceSource } from './logRequest.ts';

/** The worker's script as an address that a worker may load, whatever the extension itself is loaded from. */
let scriptUrl: Promise<string> | undefined;

export async function startLogAnalysis(request: LogRequest): Promise<AnalysisHandle> {
  scriptUrl ??= loadScript(request.context.extensionUri).catch((error: unknown) => {
    scriptUrl = undefined; // the next log tries again
    throw error;
  });
  const thread = startThread(await scriptUrl);
  return startGathered(thread, openRequest(request, '', ''), workspaceSource(request.uri));
}

async function loadScript(extension: vscode.Uri): Promise<string> {
  const bytes = await vscode.workspace.fs.readFile(vscode.Uri.joinPath(extension, 'dist', 'worker', 'start.web.js'));
  return URL.createObjectURL(new Blob([new Uint8Array(bytes)], { type: 'text/javascript' }));
}
