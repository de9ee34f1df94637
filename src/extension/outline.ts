// The outline of a log: the header's blocks with their entries, the layers, and the events inside them.
import * as vscode from 'vscode';
import type { StrainEvent } from '../core/change/events.ts';
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
        return [headerSymbol(document, parsed), ...rowSymbols(document, layers.slice(0, mostLayers), events)];
      },
    },
    { label: 'Strain log' },
  );
}

function headerSymbol(document: vscode.TextDocument, parsed: ParsedHeader): vscode.DocumentSymbol {
  const lastLine = Math.max(0, parsed.namesLine - 1);
  const range = new vscode.Range(new vscode.Position(0, 0), document.lineAt(lastLine).range.end);
  const symbol = new vscode.DocumentSymbol('Header', '', vscode.SymbolKind.Namespace, range, document.lineAt(0).range);
  const { places, blockPath } = parsed.source;
  const block = valueAt(places.value, blockPath);
  if (typeof block !== 'object' || block === null) return symbol;
  for (const [key, value] of Object.entries(block)) {
    const place = parsed.rangeOf([...blockPath, key]);
    if (place) symbol.children.push(blockSymbol(parsed, key, value, editorRange(place)));
  }
  return symbol;
}

function blockSymbol(parsed: ParsedHeader, key: string, value: unknown, range: vscode.Range): vscode.DocumentSymbol {
  const whole = new vscode.Range(range.start.line, 0, range.end.line, range.end.character);
  const symbol = new vscode.DocumentSymbol(key, briefly(value), vscode.SymbolKind.Object, whole, range);
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return symbol;
  for (const [name, inner] of Object.entries(value)) {
    const place = parsed.rangeOf([...parsed.source.blockPath, key, name]);
    if (!place) continue;
    const innerRange = editorRange(place);
    symbol.children.push(
      new vscode.DocumentSymbol(name, briefly(inner), vscode.SymbolKind.Field, innerRange, innerRange),
    );
  }
  return symbol;
}

function rowSymbols(
  document: vscode.TextDocument,
  layers: readonly LayerLines[],
  events: readonly StrainEvent[],
): vscode.DocumentSymbol[] {
  const inside = new Set<StrainEvent>();
  const layerSymbols = layers.map(({ layer, from, to }) => {
    const range = new vscode.Range(
      new vscode.Position(from, 0),
      document.lineAt(Math.min(to, document.lineCount - 1)).range.end,
    );
    const title = `Layer ${layer}`;
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

function valueAt(value: unknown, path: readonly (string | number)[]): unknown {
  return path.reduce<unknown>((at, key) => (at as Record<string, unknown> | undefined)?.[key], value);
}

/** One value in the outline's margin: itself where short, else how many entries it has. */
function briefly(value: unknown): string {
  if (Array.isArray(value))
    return value.every((item) => typeof item !== 'object') ? value.join(', ') : `${value.length}`;
  if (typeof value !== 'object' || value === null) return String(value ?? '');
  const kind = (value as { kind?: unknown }).kind;
  return typeof kind === 'string' ? kind : `${Object.keys(value).length}`;
}
