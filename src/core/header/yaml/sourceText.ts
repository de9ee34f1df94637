// Text of a header with its lines: offsets to line and column and back. Lines and columns count from 1, columns in
// UTF-16 code units. A byte order mark is not part of the text, as in an editor.
import type { TextRange } from '../../problem.ts';

export interface SourceText {
  readonly text: string;
  /** Offset of the start of each line. */
  readonly lineStarts: readonly number[];
}

export function sourceText(input: string): SourceText {
  const text = input.startsWith('\uFEFF') ? input.slice(1) : input;
  const lineStarts = [0];
  for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) lineStarts.push(at + 1);
  return { text, lineStarts };
}

/** The line's text without its end; line counts from 1. */
export function lineText({ text, lineStarts }: SourceText, line: number): string {
  const start = lineStarts[line - 1] ?? text.length;
  const end = (lineStarts[line] ?? text.length + 1) - 1;
  return text.slice(start, text[end - 1] === '\r' && end > start ? end - 1 : end);
}

export function positionAt({ lineStarts }: SourceText, offset: number): { line: number; column: number } {
  let low = 0;
  let high = lineStarts.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (lineStarts[middle]! <= offset) low = middle;
    else high = middle - 1;
  }
  return { line: low + 1, column: offset - lineStarts[low]! + 1 };
}

export function offsetAt(source: SourceText, line: number, column: number): number {
  const start = source.lineStarts[line - 1] ?? source.text.length;
  return Math.min(start + column - 1, start + lineText(source, line).length);
}

export function rangeBetween(source: SourceText, from: number, to: number): TextRange {
  const start = positionAt(source, from);
  const end = positionAt(source, Math.max(from, to));
  return { line: start.line, column: start.column, endLine: end.line, endColumn: end.column };
}

/** A line from its first character to its last. */
export function lineRange(source: SourceText, line: number): TextRange {
  return { line, column: 1, endLine: line, endColumn: lineText(source, line).length + 1 };
}
