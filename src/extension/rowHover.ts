// Hover on a row: what the column under the pointer measures, and the state of its cell (or of all) at that moment.
import * as vscode from 'vscode';
import { columnAfter } from '../core/table/rowFields.ts';
import { rowSelector, unsavedHint } from './logFile.ts';
import type { Logs, OpenLog } from './logs.ts';
import { channelText, plateText } from './rowText.ts';

export function registerRowHover(logs: Logs): vscode.Disposable {
  return vscode.languages.registerHoverProvider(rowSelector, {
    provideHover(document, position) {
      const log = logs.get(document.uri);
      if (!log || position.line + 1 <= (log.summary?.namesLine ?? Infinity)) return undefined;
      if (document.isDirty) return new vscode.Hover(unsavedHint);
      const before = document.lineAt(position.line).text.slice(0, position.character);
      return hoverAt(log, position.line + 1, before);
    },
  });
}

/** `line` of the log from 1; `before`: its text before the pointer. */
export async function hoverAt(log: OpenLog, line: number, before: string): Promise<vscode.Hover | undefined> {
  const header = log.summary?.header;
  const state = header && (await log.calls?.state({ line }));
  if (!header || !state || state.line !== line) return undefined;
  const column = columnAfter(before, header.table.delimiter);
  const channel = header.channels.find((candidate) => candidate.column === column);
  const text = plateText(header, state, channel?.cell ?? -1);
  return new vscode.Hover(channel ? [new vscode.MarkdownString(channelText(header, channel)), text] : text);
}
