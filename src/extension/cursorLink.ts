// Text to view: the cursor's line, or the lines selected, become the view's time cursor; in an excerpt as in the log. The
// latest position wins; while one is being looked up, those in between are dropped.
import * as vscode from 'vscode';
import { excerptPlace, logLine } from './excerpt.ts';
import type { LogView } from './view.ts';
import type { Views } from './views.ts';

/** Lines of the log, from 1: where the cursor is, and the first and last line selected. */
interface LogLines {
  readonly cursor: number;
  readonly from: number;
  readonly to: number;
}

export function registerCursorLink(views: Views): vscode.Disposable {
  const pending = new Map<LogView, LogLines>();
  const busy = new Set<LogView>();

  const follow = async (view: LogView): Promise<void> => {
    if (busy.has(view)) return;
    busy.add(view);
    for (let lines = pending.get(view); lines; lines = pending.get(view)) {
      pending.delete(view);
      await tell(view, lines).catch(() => undefined); // the log is not read that far yet: nothing to show
    }
    busy.delete(view);
  };
  const moved = (editor: vscode.TextEditor | undefined): void => {
    if (!editor) return;
    const { document } = editor;
    const view = views.get(excerptPlace(document.uri)?.log ?? document.uri);
    // A line of a text that is not saved may be another line in the file; the hover says so.
    if (!view || document.isDirty) return;
    pending.set(view, linesOf(editor));
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

function linesOf({ document, selection }: vscode.TextEditor): LogLines {
  const lineAt = (position: vscode.Position): number =>
    excerptPlace(document.uri) ? logLine(document, position.line) : position.line + 1;
  return { cursor: lineAt(selection.active), from: lineAt(selection.start), to: lineAt(selection.end) };
}

async function tell(view: LogView, { cursor, from, to }: LogLines): Promise<void> {
  const { calls } = view;
  const cell = cellNamedAt(view, cursor);
  if (cell >= 0) view.tell({ type: 'showCell', cell });
  if (!calls || cursor <= (view.summary?.namesLine ?? 0)) return;
  const place = await calls.place({ line: from });
  const toPlace = to === from ? place : await calls.place({ line: to });
  if (!place) return;
  view.tell({ type: 'cursor', timeS: place.timeS, toTimeS: toPlace?.timeS ?? place.timeS, line: place.line });
}

/** In the header: the cell whose channel is declared on the line; -1 elsewhere. */
function cellNamedAt(view: LogView, line: number): number {
  const { header, namesLine = 0 } = view.summary ?? {};
  if (!header || line >= namesLine) return -1;
  return header.channels.find((channel) => channel.line === line)?.cell ?? -1;
}
