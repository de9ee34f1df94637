// The outline of a log: the header's blocks with their entries, the layers, and the events inside them.
import * as vscode from 'vscode';
import type { StrainEvent } from '../core/change/events.ts';
import type { OutlineItem } from '../core/header/language/outline.ts';
import type { ParsedHeader } from '../core/header/parseHeader.ts';
import { parsedHeader } from './headerText.ts';
import { layerLines } from './layerLines.ts';
import type { LayerLines } from './layerLines.ts';
import { logSelector } from './logFile.ts';
import type { Logs } from './logs.ts';
import { editorRange } from './places.ts';

/** The editor draws an outline of a few thousand entries without trouble, not of a hundred thousand. */
const mostLayers = 5000;

export function registerOutline(logs: Logs): vscode.Disposable {
  return vscode.languages.registerDocumentSymbolProvider(
    logSelector,
    {
      async provideDocumentSymbols(document) {
        const parsed = await parsedHeader(document);
        const layers = await layerLines(document);
        const events = logs.get(document.uri)?.summary?.events ?? [];
        const header = parsed ? [await headerSymbol(document, parsed)] : [];
        return [...header, ...rowSymbols(document, layers, events)];
      },
    },
    { label: 'Strain log' },
  );
}

async function headerSymbol(document: vscode.TextDocument, parsed: ParsedHeader): Promise<vscode.DocumentSymbol> {
  const { headerOutline } = await import('../core/header/language/outline.ts');
  const lastLine = Math.max(0, parsed.namesLine - 1);
  const range = new vscode.Range(new vscode.Position(0, 0), document.lineAt(lastLine).range.end);
  const symbol = new vscode.DocumentSymbol('Header', '', vscode.SymbolKind.Namespace, range, document.lineAt(0).range);
  symbol.children = headerOutline(parsed.source).map((item) => blockSymbol(item, vscode.SymbolKind.Object));
  return symbol;
}

function blockSymbol(item: OutlineItem, kind: vscode.SymbolKind): vscode.DocumentSymbol {
  const symbol = new vscode.DocumentSymbol(
    item.name || '(no name)', // the editor refuses a symbol without a name
    item.detail,
    kind,
    editorRange(item.range),
    editorRange(item.nameRange),
  );
  symbol.children = item.children.map((child) => blockSymbol(child, vscode.SymbolKind.Field));
  return symbol;
}

interface Stretch {
  readonly title: string;
  /** Lines from 0, both included. */
  readonly from: number;
  readonly to: number;
}

/** One entry a layer; those beyond what can be drawn are one entry together. */
function stretchesOf(layers: readonly LayerLines[]): readonly Stretch[] {
  const shown = layers.slice(0, mostLayers).map(({ layer, from, to }) => ({ title: `Layer ${layer}`, from, to }));
  const rest = layers.slice(mostLayers);
  const [first, last] = [rest[0], rest.at(-1)];
  return first && last ? [...shown, { title: `${rest.length} more layers`, from: first.from, to: last.to }] : shown;
}

function rowSymbols(
  document: vscode.TextDocument,
  layers: readonly LayerLines[],
  events: readonly StrainEvent[],
): vscode.DocumentSymbol[] {
  const inside = new Set<StrainEvent>();
  const layerSymbols = stretchesOf(layers).map(({ title, from, to }) => {
    const range = new vscode.Range(
      new vscode.Position(from, 0),
      document.lineAt(Math.min(to, document.lineCount - 1)).range.end,
    );
    const rows = `${to - from + 1} rows`;
    const symbol = new vscode.DocumentSymbol(title, rows, vscode.SymbolKind.Array, range, document.lineAt(from).range);
    for (const event of events) {
      if (event.line - 1 < from || event.line - 1 > to) continue;
      inside.add(event);
      symbol.children.push(eventSymbol(document, event));
    }
    return symbol;
  });
  const outside = events.filter((event) => !inside.has(event) && event.line <= document.lineCount);
  return [...layerSymbols, ...outside.map((event) => eventSymbol(document, event))];
}

function eventSymbol(document: vscode.TextDocument, event: StrainEvent): vscode.DocumentSymbol {
  const { range } = document.lineAt(event.line - 1);
  return new vscode.DocumentSymbol(event.kind, event.message, vscode.SymbolKind.Event, range, range);
}
