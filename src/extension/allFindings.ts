// The whole list of findings as a text document, for when there are more than the list of problems holds: one line
// each, in the form `path:line:column: level: message [code]`, so that each leads to its place.
import * as vscode from 'vscode';
import { headerEnding } from '../core/besideLog.ts';
import { andMoreLikeIt, countOf } from '../core/display/numberFormat.ts';
import type { Problem, Severity } from '../core/problem.ts';
import { isReadToEnd, problemsFound } from '../messages/analysis.ts';
import { fileName } from './logFile.ts';
import type { OpenLog } from './logs.ts';

const atOnce = 5000;

export async function showAllFindings(log: OpenLog): Promise<void> {
  const calls = await log.ready();
  const { summary } = log;
  if (!summary) return;
  const name = log.uri.scheme === 'file' ? log.uri.fsPath : fileName(log.uri);
  const companion = `${name}${headerEnding}`;
  const lines = summary.events.map(({ line, severity, message, kind, folded }) =>
    findingLine(name, line, 1, severity, message + andMoreLikeIt(folded), kind),
  );
  for (let first = 0; ; first += atOnce) {
    const part = await calls.problems({ first, count: atOnce });
    lines.push(...part.map((problem) => problemLine(problem.file === undefined ? name : companion, problem)));
    if (part.length < atOnce) break;
  }
  const events = countOf(summary.events.length, 'event', 'events');
  const problems = countOf(problemsFound(summary), 'data problem', 'data problems');
  const head = `${events}, ${problems} in ${summary.name}${isReadToEnd(summary.state) ? '' : ' so far'}`;
  const document = await vscode.workspace.openTextDocument({
    language: 'log',
    content: [head, '', ...lines].join('\n'),
  });
  await vscode.window.showTextDocument(document, { viewColumn: vscode.ViewColumn.Beside });
}

function problemLine(name: string, { range, severity, message, code, folded }: Problem): string {
  return findingLine(name, range.line, range.column, severity, message + andMoreLikeIt(folded), code);
}

function findingLine(
  name: string,
  line: number,
  column: number,
  level: Severity,
  message: string,
  code: string,
): string {
  return `${name}:${line}:${column}: ${level}: ${message} [${code}]`;
}
