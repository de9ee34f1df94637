// From our ranges (lines and columns from 1) to the editor's (from 0), and how bad a thing is in the editor's words.
import * as vscode from 'vscode';
import type { Severity, TextRange } from '../core/problem.ts';

export function editorRange(range: TextRange): vscode.Range {
  return new vscode.Range(range.line - 1, range.column - 1, range.endLine - 1, range.endColumn - 1);
}

/** The whole of one line (from 1), its length unknown: the editor cuts the range to what is there. */
export function lineRange(line: number): vscode.Range {
  const zeroBased = Math.max(0, line - 1);
  return new vscode.Range(zeroBased, 0, zeroBased, Number.MAX_SAFE_INTEGER);
}

export function diagnosticSeverity(severity: Severity): vscode.DiagnosticSeverity {
  if (severity === 'error') return vscode.DiagnosticSeverity.Error;
  if (severity === 'warning') return vscode.DiagnosticSeverity.Warning;
  return vscode.DiagnosticSeverity.Information;
}
