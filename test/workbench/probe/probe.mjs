// Answers `probe.request.json` with `probe.answer.json` in the open folder: { tool, input } with { text }, { command, file }
// with { startedMs }, { activate } and { emptyPage } with { took } in milliseconds, { findings } (a file) with { list }; or
// with { error }.
import { Buffer } from 'node:buffer';
import { performance } from 'node:perf_hooks';
import { clearInterval, setInterval } from 'node:timers';
import * as vscode from 'vscode';

export function activate(context) {
  const folder = vscode.workspace.workspaceFolders?.[0]?.uri;
  if (!folder) return;
  const file = (name) => vscode.Uri.joinPath(folder, name);
  const timer = setInterval(async () => {
    const bytes = await vscode.workspace.fs.readFile(file('probe.request.json')).then(
      (read) => read,
      () => undefined,
    );
    if (!bytes) return;
    await vscode.workspace.fs.delete(file('probe.request.json'));
    const request = JSON.parse(Buffer.from(bytes).toString());
    const answer = await act(request, file).catch((error) => ({ error: String(error) }));
    await vscode.workspace.fs.writeFile(file('probe.answer.json'), Buffer.from(JSON.stringify(answer)));
  }, 200);
  context.subscriptions.push({ dispose: () => clearInterval(timer) });
}

async function act(request, file) {
  const started = performance.now();
  if (request.tool) return call(request.tool, request.input);
  if (request.activate) {
    await vscode.extensions.getExtension(request.activate).activate();
    return { took: performance.now() - started };
  }
  if (request.emptyPage) {
    await emptyPage();
    return { took: performance.now() - started };
  }
  if (request.findings) {
    const all = vscode.languages.getDiagnostics(file(request.findings));
    return { list: all.map(({ severity, code, message }) => ({ severity, code, message })) };
  }
  await vscode.commands.executeCommand(request.command, file(request.file));
  return { startedMs: performance.timeOrigin + started };
}

/** Opens a page with nothing on it, waits until its script has run, and closes it. */
async function emptyPage() {
  const { Active } = vscode.ViewColumn;
  const panel = vscode.window.createWebviewPanel('probe.empty', 'Empty', Active, { enableScripts: true });
  const stands = new Promise((resolve) => panel.webview.onDidReceiveMessage(resolve));
  panel.webview.html = '<!doctype html><script>acquireVsCodeApi().postMessage("stands")</script>';
  await stands;
  panel.dispose();
}

async function call(tool, input) {
  const result = await vscode.lm.invokeTool(tool, { input, toolInvocationToken: undefined });
  return { text: result.content.map((part) => part.value).join('') };
}
