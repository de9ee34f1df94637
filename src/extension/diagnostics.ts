// Our findings in the editor's own form: one diagnostic each, with our name as source and the stable code.
import * as vscode from 'vscode';
import type { StrainEvent } from '../core/change/events.ts';
import { andMoreLikeIt } from '../core/display/numberFormat.ts';
import type { Problem, Severity } from '../core/problem.ts';
import { diagnosticSeverity, editorRange, lineRange } from './places.ts';

export const diagnosticSource = 'underplate';

export function eventDiagnostic(event: StrainEvent): vscode.Diagnostic {
  return diagnostic(lineRange(event.line), event.message + andMoreLikeIt(event.folded), event.severity, event.kind);
}

export function problemDiagnostic(problem: Problem): vscode.Diagnostic {
  const message = problem.message + andMoreLikeIt(problem.folded);
  return diagnostic(editorRange(problem.range), message, problem.severity, problem.code);
}

export function diagnostic(range: vscode.Range, message: string, severity: Severity, code: string): vscode.Diagnostic {
  const made = new vscode.Diagnostic(range, message, diagnosticSeverity(severity));
  made.source = diagnosticSource;
  made.code = code;
  return made;
}
