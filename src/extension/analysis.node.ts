// Starts the analysis of one log in worker threads: a file on this machine by its path, anything else by its bytes.
import type * as vscode from 'vscode';
import type { AnalysisCalls, LogSummary } from '../messages/analysis.ts';
import type { AnalysisSettings } from '../core/pipeline/settings.ts';

export interface RunningAnalysis {
  readonly calls: AnalysisCalls;
  onSummary(listener: (summary: LogSummary) => void): void;
  cancel(): void;
  follow(on: boolean): void;
  dispose(): void;
}

export interface LogRequest {
  readonly uri: vscode.Uri;
  readonly context: vscode.ExtensionContext;
  readonly settings: AnalysisSettings;
}

export function startLogAnalysis(request: LogRequest): Promise<RunningAnalysis> {
  return Promise.reject(new Error(`no analysis for ${request.uri.path} yet`));
}
