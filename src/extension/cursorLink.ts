// Text to view: the cursor's line, or the lines selected, become the view's time cursor. The latest position wins;
// while one is being looked up, those in between are dropped.
import * as vscode from 'vscode';
import type { LogView } from './view.ts';
import type { Views } from './views.ts';

export function registerCursorLink(views: Views): vscode.Disposable {
  const pending = new Map<LogView, vscode.Selection>();
  const busy = new Set<LogView>();

  const follow = async (view: LogView): Promise<void> => {
    if (busy.has(view)) return;
    busy.add(view);
    for (let selection = pending.get(view); selection; selection = pending.get(view)) {
      pending.delete(view);
      await tell(view, selection).catch(() => undefined); // the log is not read that far yet: nothing to show
    }
    busy.delete(view);
  };
  const moved = (editor: vscode.TextEditor | undefined): void => {
    const view = editor && views.get(editor.document.uri);
    if (!view) return;
    pending.set(view, editor.selection);
    void follow(view);
  };
  return vscode.Disposable.from(
    vscode.window.onDidChangeTextEditorSelection((change) => moved(change.textEditor)),
    views.onDidGetReady((view) => {
      const key = view.uri.toString();
      moved(vscode.window.visibleTextEditors.find((editor) => editor.document.uri.toString() === key));
    }),
  );
}

async function tell(view: LogView, selection: vscode.Selection): Promise<void> {
  const { calls } = view;
  const line = selection.active.line + 1;
  const cell = cellNamedAt(view, selection.active);
  if (cell >= 0) view.tell({ type: 'showCell', cell });
  if (!calls || line <= (view.summary?.namesLine ?? 0)) return;
  const place = await calls.place({ line: selection.start.line + 1 });
  const toPlace = selection.isSingleLine ? place : await calls.place({ line: selection.end.line + 1 });
  if (!place) return;
  view.tell({ type: 'cursor', timeS: place.timeS, toTimeS: toPlace?.timeS ?? place.timeS, line: place.line });
}

/** In the header: the cell whose channel is declared on the cursor's line; -1 elsewhere. */
function cellNamedAt(view: LogView, position: vscode.Position): number {
  const header = view.summary?.header;
  if (!header || position.line + 1 >= (view.summary?.namesLine ?? 0)) return -1;
  return header.channels.find((channel) => channel.line === position.line + 1)?.cell ?? -1;
}
