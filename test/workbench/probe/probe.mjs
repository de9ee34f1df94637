// Answers `probe.request.json` ({ tool, input }) with `probe.answer.json` ({ text } or { error }) in the open folder.
import { Buffer } from 'node:buffer';
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
    const { tool, input } = JSON.parse(Buffer.from(bytes).toString());
    const answer = await call(tool, input).catch((error) => ({ error: String(error) }));
    await vscode.workspace.fs.writeFile(file('probe.answer.json'), Buffer.from(JSON.stringify(answer)));
  }, 200);
  context.subscriptions.push({ dispose: () => clearInterval(timer) });
}

async function call(tool, input) {
  const result = await vscode.lm.invokeTool(tool, { input, toolInvocationToken: undefined });
  return { text: result.content.map((part) => part.value).join('') };
}
