// The header of an open log as it stands in the editor, typed or not, and what the parser makes of it. Parsed once a
// version of the text; the parser (with its arithmetic of units) is loaded at the first use, not at activation.
import type * as vscode from 'vscode';
import type { ParsedHeader } from '../core/header/parseHeader.ts';

interface Parsed {
  readonly text: string;
  readonly header: Promise<ParsedHeader>;
}

const parsed = new WeakMap<vscode.TextDocument, Parsed>();

export function parsedHeader(document: vscode.TextDocument): Promise<ParsedHeader> {
  const text = headerText(document);
  const known = parsed.get(document);
  if (known?.text === text) return known.header;
  const header = parse(text);
  parsed.set(document, { text, header });
  return header;
}

async function parse(text: string): Promise<ParsedHeader> {
  const { parseHeader } = await import('../core/header/parseHeader.ts');
  const { withDerivedProblems } = await import('../core/pipeline/derivedSeries.ts');
  return withDerivedProblems(parseHeader(text));
}

/** The `#` lines and the row of names; rows, however many, are not touched. */
function headerText(document: vscode.TextDocument): string {
  const lines: string[] = [];
  for (let line = 0; line < document.lineCount; line++) {
    const { text } = document.lineAt(line);
    lines.push(text);
    if (!text.startsWith('#') && text.trim() !== '') break;
  }
  return lines.join('\n');
}
