// Marks beside the lines where events begin: a sign in the gutter (its form tells the nature, not its colour alone) and
// a stroke in the overview ruler.
import * as vscode from 'vscode';
import type { EventNature, StrainEvent } from '../core/change/events.ts';
import type { Logs } from './logs.ts';
import { lineRange } from './places.ts';

const rulerColours: Readonly<Record<EventNature, string>> = {
  mechanical: 'editorOverviewRuler.errorForeground',
  thermal: 'editorOverviewRuler.warningForeground',
  sensor: 'editorOverviewRuler.infoForeground',
};

export function registerEventMarks(extension: vscode.Uri, logs: Logs): vscode.Disposable {
  const media = vscode.Uri.joinPath(extension, 'src', 'extension', 'media');
  const markOf = (nature: EventNature): vscode.TextEditorDecorationType =>
    vscode.window.createTextEditorDecorationType({
      isWholeLine: true,
      gutterIconSize: 'contain',
      light: { gutterIconPath: vscode.Uri.joinPath(media, `${nature}-light.svg`) },
      dark: { gutterIconPath: vscode.Uri.joinPath(media, `${nature}-dark.svg`) },
      overviewRulerColor: new vscode.ThemeColor(rulerColours[nature]),
      overviewRulerLane: vscode.OverviewRulerLane.Left,
    });
  const marks = { mechanical: markOf('mechanical'), thermal: markOf('thermal'), sensor: markOf('sensor') };

  const draw = (editor: vscode.TextEditor): void => {
    const summary = logs.get(editor.document.uri)?.summary;
    if (!summary) return;
    for (const nature of Object.keys(marks) as EventNature[]) {
      const own = summary.events.filter((event) => event.nature === nature);
      editor.setDecorations(marks[nature], own.map(markRange));
    }
  };
  const drawAll = (): void => vscode.window.visibleTextEditors.forEach(draw);
  drawAll();
  return vscode.Disposable.from(
    ...Object.values(marks),
    logs.onDidChange(drawAll),
    vscode.window.onDidChangeVisibleTextEditors((editors) => editors.forEach(draw)),
  );
}

function markRange(event: StrainEvent): vscode.DecorationOptions {
  return { range: lineRange(event.line) };
}
