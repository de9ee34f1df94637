// Tells of mechanical events in rows that are appended to a log while it is open: somebody may be standing at the machine.
// What is in the log when it is opened is in lists and marks, and not told.
import * as vscode from 'vscode';
import type { StrainEvent } from '../core/change/events.ts';
import { countOf } from '../core/display/numberFormat.ts';
import { showEvent } from './eventList.ts';
import { fileName } from './logFile.ts';
import type { Logs, OpenLog } from './logs.ts';
import type { Views } from './views.ts';

export function registerGrowthNews(logs: Logs, views: Views): vscode.Disposable {
  const known = new WeakMap<OpenLog, Set<string>>();
  return logs.onDidChange((log) => {
    const { summary } = log;
    if (!summary) return;
    const before = known.get(log);
    const news = summary.events.filter(({ id }) => !before?.has(id));
    known.set(log, new Set([...(before ?? []), ...summary.events.map(({ id }) => id)]));
    if (summary.state === 'following' && before) void tell(log, views, news.filter(isGrave));
  });
}

function isGrave({ nature, severity }: StrainEvent): boolean {
  return nature === 'mechanical' && severity !== 'information';
}

async function tell(log: OpenLog, views: Views, news: readonly StrainEvent[]): Promise<void> {
  const [first] = news;
  if (!first) return;
  const more = news.length > 1 ? `, and ${countOf(news.length - 1, 'more event', 'more events')}` : '';
  const show = 'Show';
  const answer = await vscode.window.showWarningMessage(`${fileName(log.uri)}: ${first.message}${more}`, show);
  if (answer === show) await showEvent(log, views, first);
}
