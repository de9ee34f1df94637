// One entry in the status bar for the log in front: how far it is read, what was found, whether it is followed.
import * as vscode from 'vscode';
import { isReadToEnd, isUnderWay, problemsFound } from '../messages/analysis.ts';
import type { LogSummary } from '../messages/analysis.ts';
import { countOf } from '../core/display/numberFormat.ts';
import { isSilent, unjudged } from '../core/display/text/unjudged.ts';
import { fileName } from './logFile.ts';
import type { Logs, OpenLog } from './logs.ts';
import type { Views } from './views.ts';

export function registerStatusBar(logs: Logs, views: Views): vscode.Disposable {
  const item = vscode.window.createStatusBarItem('underplate.state', vscode.StatusBarAlignment.Left, 10);
  item.name = 'Underplate';
  const show = (): void => {
    const uri = views.activeLog();
    // While another kind of file is in front, a log that grows is still to be seen.
    const log = (uri && logs.get(uri)) ?? logs.all().find(({ summary }) => summary?.state === 'following');
    if (!log) {
      item.hide();
      return;
    }
    Object.assign(item, entryOf(log));
    item.show();
  };
  show();
  return vscode.Disposable.from(
    item,
    logs.onDidChange(show),
    logs.onDidProgress(show),
    logs.onDidClose(show),
    vscode.window.onDidChangeActiveTextEditor(show),
    vscode.window.tabGroups.onDidChangeTabs(show),
    vscode.window.tabGroups.onDidChangeTabGroups(show),
  );
}

interface Entry {
  readonly text: string;
  readonly tooltip: vscode.MarkdownString;
  readonly command: vscode.Command;
  readonly backgroundColor: vscode.ThemeColor | undefined;
}

function entryOf(log: OpenLog): Entry {
  const { summary } = log;
  const grave = summary?.events.some((event) => event.severity === 'error') ?? false;
  const unread = summary !== undefined && !summary.header && !isUnderWay(summary.state);
  return {
    text: summary ? textOf(summary) : '$(loading~spin) opening log',
    tooltip: tooltipOf(log),
    command: { command: 'underplate.openView', title: 'Open Plate View', arguments: [log.uri] },
    backgroundColor: grave || unread ? new vscode.ThemeColor('statusBarItem.warningBackground') : undefined,
  };
}

function textOf(summary: LogSummary): string {
  const found = countsOf(summary);
  switch (summary.state) {
    case 'failed':
      return '$(error) log not readable';
    case 'sampled':
    case 'reading':
      return `$(loading~spin) ${Math.floor(summary.progress * 100)} % read, ${found}`;
    case 'drawn':
      return `$(loading~spin) ${Math.floor(summary.progress * 100)} % looked through, ${found}`;
    case 'stopped':
      return `$(debug-stop) stopped at ${Math.floor(summary.progress * 100)} %, ${found}`;
    default:
      return `${summary.state === 'following' ? '$(eye) following' : '$(layers) plate'}: ${found}`;
  }
}

/** `2 mechanical, 1 sensor`, or that nothing was found, or could be. */
function countsOf(summary: LogSummary): string {
  const natures = ['mechanical', 'thermal', 'sensor'] as const;
  const counts = natures.map((nature) => [summary.events.filter((event) => event.nature === nature).length, nature]);
  const found = counts.filter(([count]) => count !== 0).map((pair) => pair.join(' '));
  const problems = problemsFound(summary);
  if (problems > 0) found.push(`${problems} data`);
  if (!isUnderWay(summary.state)) found.unshift(...unjudgedShort(summary));
  return found.length > 0 ? found.join(', ') : `nothing found${isReadToEnd(summary.state) ? '' : ' so far'}`;
}

/** That nothing was judged, in few words, where that is so. */
function unjudgedShort(summary: LogSummary): readonly string[] {
  if (!summary.header) return ['not analysed'];
  if (!isReadToEnd(summary.state)) return [];
  if (summary.rows === 0) return ['no rows'];
  if (isSilent(summary)) return ['no channel reads'];
  return unjudged(summary) === '' ? [] : ['too short to judge'];
}

function tooltipOf({ uri, summary }: OpenLog): vscode.MarkdownString {
  const text = new vscode.MarkdownString();
  text.appendText(fileName(uri));
  if (!summary) return text;
  if (summary.failure !== '') return text.appendText(`\n\n${summary.failure}`);
  const counts = [
    countOf(summary.rows, 'row', 'rows'),
    countOf(summary.events.length, 'event', 'events'),
    countOf(problemsFound(summary), 'data problem', 'data problems'),
  ];
  text.appendMarkdown(`\n\n${counts.join(', ')}\n\nSelect to open the plate view.`);
  return text;
}
