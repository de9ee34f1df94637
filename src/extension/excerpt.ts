// Lines around a place of a log too large for the editor, as a read-only document: the row of names, then the lines as
// they stand, with the log's own line numbers beside them, hovers, marks and event lines as in the log itself.
import * as vscode from 'vscode';
import { logStem } from '../core/besideLog.ts';
import { wordsOf } from '../core/problem.ts';
import { lenses } from './eventLenses.ts';
import { excerptScheme, fileName, filesOfTab } from './logFile.ts';
import type { Logs, OpenLog } from './logs.ts';
import { columnOf, noteRevealed } from './reveal.ts';
import { hoverAt } from './rowHover.ts';

const linesBefore = 200;
const linesAfter = 200;
/** Lines of the document before the first line of the log: a comment and the row of names. */
const headLines = 2;

interface ExcerptPlace {
  readonly log: vscode.Uri;
  readonly line: number;
}

/** The document's address carries the log and the line (from 1), so that it can be made again after a restart. */
export function excerptUri(log: vscode.Uri, line: number): vscode.Uri {
  const path = `/${logStem(fileName(log))} around line ${line}.strain-excerpt`;
  return vscode.Uri.from({ scheme: excerptScheme, path, query: JSON.stringify({ log: log.toString(), line }) });
}

export function excerptPlace(uri: vscode.Uri): ExcerptPlace | undefined {
  if (uri.scheme !== excerptScheme) return undefined;
  const { log, line } = JSON.parse(uri.query) as { log: string; line: number };
  return { log: vscode.Uri.parse(log), line };
}

/** Opens the excerpt with the cursor on `line`, never over a view. */
export async function showExcerpt(log: vscode.Uri, line: number, preserveFocus = false): Promise<void> {
  noteRevealed(log, line);
  const document = await vscode.workspace.openTextDocument(excerptUri(log, line));
  const shown = line - firstLineOf(document) + headLines;
  const at = new vscode.Position(Math.max(0, shown), 0);
  await vscode.window.showTextDocument(document, {
    selection: new vscode.Range(at, at),
    viewColumn: columnOf(document.uri) ?? columnOf(log) ?? columnOfText(),
    preserveFocus,
  });
}

/** Where text is in front: the active group, else one beside it. */
function columnOfText(): vscode.ViewColumn {
  const { activeTab, viewColumn } = vscode.window.tabGroups.activeTabGroup;
  if (!activeTab || filesOfTab(activeTab).length > 0) return vscode.ViewColumn.Active;
  return viewColumn === vscode.ViewColumn.One ? vscode.ViewColumn.Two : vscode.ViewColumn.One;
}

export function registerExcerpts(logs: Logs): vscode.Disposable {
  const kept = new Map<string, vscode.Disposable>();
  const logOf = (uri: vscode.Uri): OpenLog | undefined => {
    const place = excerptPlace(uri);
    return place && logs.get(place.log);
  };
  const selector = { scheme: excerptScheme };
  const found = new vscode.EventEmitter<void>();
  return vscode.Disposable.from(
    found,
    logs.onDidChange(() => found.fire()),
    vscode.workspace.registerTextDocumentContentProvider(excerptScheme, {
      async provideTextDocumentContent(uri) {
        const place = excerptPlace(uri);
        if (!place) return '';
        const { log, release } = logs.keep(place.log);
        const before = kept.get(uri.toString());
        kept.set(uri.toString(), release);
        before?.dispose();
        return contentOf(log, place);
      },
    }),
    vscode.workspace.onDidCloseTextDocument(({ uri }) => {
      kept.get(uri.toString())?.dispose();
      kept.delete(uri.toString());
    }),
    vscode.languages.registerHoverProvider(selector, {
      provideHover(document, position) {
        const log = logOf(document.uri);
        if (!log || position.line < headLines) return undefined;
        const before = document.lineAt(position.line).text.slice(0, position.character);
        return hoverAt(log, logLine(document, position.line), before);
      },
    }),
    vscode.languages.registerCodeLensProvider(selector, {
      onDidChangeCodeLenses: found.event,
      provideCodeLenses(document) {
        const log = logOf(document.uri);
        if (!log) return [];
        const first = firstLineOf(document);
        const last = first + document.lineCount - headLines - 1;
        const events = log.summary?.events.filter((event) => event.line >= first && event.line <= last) ?? [];
        return events.flatMap((event) => lenses(log.uri, event, event.line - first + headLines + 1));
      },
    }),
    registerLineNumbers(),
    vscode.Disposable.from({ dispose: () => kept.forEach((release) => release.dispose()) }),
  );
}

/** The log's line (from 1) that stands at `editorLine` (from 0) of the excerpt. */
export function logLine(document: vscode.TextDocument, editorLine: number): number {
  return firstLineOf(document) + editorLine - headLines;
}

/** The line of the excerpt (from 1) where this line of the log stands; undefined where it is not in it. */
export function excerptLine(document: vscode.TextDocument, line: number): number | undefined {
  const at = line - firstLineOf(document) + headLines + 1;
  return at > headLines && at <= document.lineCount ? at : undefined;
}

export function isExcerpt(document: vscode.TextDocument): boolean {
  return document.uri.scheme === excerptScheme;
}

function firstLineOf(document: vscode.TextDocument): number {
  const found = /^# lines (\d+) to/.exec(document.lineAt(0).text);
  return Number(found?.[1] ?? 1);
}

/** The lines, or in their place why there are none. */
async function contentOf(log: OpenLog, { line }: ExcerptPlace): Promise<string> {
  try {
    const { firstLine, lines } = await (await log.ready()).excerpt({ line, before: linesBefore, after: linesAfter });
    if (lines.length === 0) return `# line ${line} is not in ${fileName(log.uri)}, which ends before it\n`;
    const { header } = log.summary ?? {};
    const names = header?.columns.map((column) => column.name).join(header.table.delimiter) ?? '';
    const lastLine = firstLine + lines.length - 1;
    const head = `# lines ${firstLine} to ${lastLine} of ${fileName(log.uri)}; the log's own line numbers stand beside them`;
    return [head, names, ...lines].join('\n');
  } catch (error) {
    return `# ${wordsOf(error)}\n`;
  }
}

/** The log's line number before each line of an excerpt, which is short. */
function registerLineNumbers(): vscode.Disposable {
  const numbers = vscode.window.createTextEditorDecorationType({
    before: { color: new vscode.ThemeColor('editorLineNumber.foreground'), margin: '0 1em 0 0' },
  });
  const draw = (editors: readonly vscode.TextEditor[]): void => {
    for (const editor of editors.filter(({ document }) => isExcerpt(document))) {
      const { document } = editor;
      const lines = Array.from({ length: Math.max(0, document.lineCount - headLines) }, (_, i) => headLines + i);
      editor.setDecorations(
        numbers,
        lines.map((line) => numberAt(document, line)),
      );
    }
  };
  draw(vscode.window.visibleTextEditors);
  return vscode.Disposable.from(numbers, vscode.window.onDidChangeVisibleTextEditors(draw));
}

function numberAt(document: vscode.TextDocument, line: number): vscode.DecorationOptions {
  const contentText = String(logLine(document, line));
  return { range: new vscode.Range(line, 0, line, 0), renderOptions: { before: { contentText } } };
}
