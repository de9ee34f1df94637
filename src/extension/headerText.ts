// The header of an open log as it stands in the editor, typed or not, and what the parser makes of it. Parsed once a
// version of the text; the parser (with its arithmetic of units) is loaded at the first use, not at activation.
import type * as vscode from 'vscode';
import type { ParsedHeader } from '../core/header/parseHeader.ts';

interface Parsed {
  readonly text: string;
  readonly header: Promise<ParsedHeader>;
}

const parsed = new WeakMap<vscode.TextDocument, Parsed>();

/** Characters of a header that is parsed here. To parse a longer one, of some 4000 channels, would stop the editor for seconds. */
const mostParsedHere = 512 * 1024;

/** Undefined where the header is too long for that: its problems are those that the analysis finds. */
export async function parsedHeader(document: vscode.TextDocument): Promise<ParsedHeader | undefined> {
  const text = headerText(document);
  if (text === undefined) return undefined;
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

/** The `#` lines and the row of names; rows, however many, are not touched. Undefined where they are too long to be parsed here. */
export function headerText(document: vscode.TextDocument): string | undefined {
  const lines: string[] = [];
  let length = 0;
  for (let line = 0; line < document.lineCount; line++) {
    const { text } = document.lineAt(line);
    lines.push(text);
    length += text.length + 1;
    if (length > mostParsedHere) return undefined;
    if (!text.startsWith('#') && text.trim() !== '') break;
  }
  return lines.join('\n');
}
