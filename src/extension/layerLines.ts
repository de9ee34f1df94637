// Where each layer's rows begin and end in an open log's text, for outline and folding. Read from the text itself, so
// it fits what is on screen even while the file is edited; one scan a version. Lines here count from 0, as the editor's.
import type * as vscode from 'vscode';
import { fieldEnd, fieldText } from '../core/table/rowFields.ts';
import { parsedHeader } from './headerText.ts';

export interface LayerLines {
  readonly layer: string;
  readonly from: number;
  readonly to: number;
}

const scanned = new WeakMap<
  vscode.TextDocument,
  { readonly version: number; readonly layers: readonly LayerLines[] }
>();

export async function layerLines(document: vscode.TextDocument): Promise<readonly LayerLines[]> {
  const known = scanned.get(document);
  if (known?.version === document.version) return known.layers;
  const { header, namesLine = 0 } = (await parsedHeader(document)) ?? {};
  const column = header?.roles.layer ?? -1;
  const layers =
    !header || column < 0 || namesLine === 0
      ? []
      : layersOf(document.getText(), namesLine, column, header.table.delimiter);
  scanned.set(document, { version: document.version, layers });
  return layers;
}

/** Runs of rows with the same text in field `column` (from 0); `firstRow`: line of the first row, from 0. */
export function layersOf(text: string, firstRow: number, column: number, delimiter: string): LayerLines[] {
  const layers: { layer: string; from: number; to: number }[] = [];
  let start = 0;
  for (let line = 0; start < text.length; line++) {
    const newLine = text.indexOf('\n', start);
    const end = newLine < 0 ? text.length : newLine;
    const layer = line < firstRow ? undefined : fieldOf(text, start, end, column, delimiter);
    const last = layers.at(-1);
    if (layer !== undefined && last?.layer === layer) last.to = line;
    else if (layer !== undefined) layers.push({ layer, from: line, to: line });
    start = end + 1;
  }
  return layers;
}

/** Undefined where the line is too short or the field empty. */
function fieldOf(text: string, from: number, to: number, column: number, delimiter: string): string | undefined {
  let start = from;
  for (let skipped = 0; skipped < column; skipped++) {
    const end = fieldEnd(text, start, to, delimiter);
    if (end === to) return undefined;
    start = end + delimiter.length;
  }
  return fieldText(text, start, fieldEnd(text, start, to, delimiter)) || undefined;
}
