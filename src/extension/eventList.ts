// Events by keyboard: a list to choose from, and the next or previous one from where the cursor is. These reach every
// event in files of any size.
import * as vscode from 'vscode';
import type { StrainEvent } from '../core/change/events.ts';
import { clock } from '../core/display/numberFormat.ts';
import { unjudged } from '../core/display/text/unjudged.ts';
import { isReadToEnd, isUnderWay } from '../messages/analysis.ts';
import type { LogSummary } from '../messages/analysis.ts';
import { eventSign } from './eventLenses.ts';
import type { OpenLog } from './logs.ts';
import { leadToLine } from './leadToLine.ts';
import type { Views } from './views.ts';

export async function chooseEvent(log: OpenLog, views: Views): Promise<void> {
  const events = log.summary?.events ?? [];
  if (events.length === 0) {
    void vscode.window.showInformationMessage(whyNoEvents(log.summary));
    return;
  }
  const picked = await pickEvent(events, 'Events');
  if (picked) await showEvent(log, views, picked);
}

function whyNoEvents(summary: LogSummary | undefined): string {
  if (!summary || isUnderWay(summary.state)) return 'No events so far; the log is still being read.';
  if (!isReadToEnd(summary.state)) return 'No events so far; the log was not read to its end.';
  if (!summary.header) return 'No events: the log is not analysed, since its header has errors.';
  return unjudged(summary) || 'No events in this log.';
}

export async function pickEvent(events: readonly StrainEvent[], title: string): Promise<StrainEvent | undefined> {
  const items = events.map((event) => ({
    label: `${eventSign(event)} ${event.message}`,
    description: `line ${event.line}`,
    detail: `at ${clock(event.timeS)}; known ${(event.detectedTimeS - event.timeS).toFixed(1)} s later`,
    event,
  }));
  return (await vscode.window.showQuickPick(items, { title, matchOnDescription: true }))?.event;
}

/** Puts the cursor on the event's line and the view, where open, on the event. */
export async function showEvent(log: OpenLog, views: Views, event: StrainEvent): Promise<void> {
  views.tell(log.uri, { type: 'showEvent', id: event.id });
  await leadToLine(log, event.line);
}
