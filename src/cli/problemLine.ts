// One problem as a line of text, without the file's name.
import type { Problem } from '../core/problem.ts';

/** `line:column: severity: message [code]`. */
export function told({ range, severity, message, code }: Problem): string {
  return `${range.line}:${range.column}: ${severity}: ${message} [${code}]`;
}
