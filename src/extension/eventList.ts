// Events by keyboard: a list to choose from, and the next or previous one from where the cursor is. These reach every
// event in files of any size.
import * as vscode from 'vscode';
import type { StrainEvent } from '../core/change/events.ts';
import { clock } from '../core/display/numberFormat.ts';
import { isUnderWay } from '../messages/analysis.ts';
import { eventSign } from './eventLenses.ts';
import type { OpenLog } from './logs.ts';
import { revealLine } from './reveal.ts';
import type { Views } from './views.ts';

export async function chooseEvent(log: OpenLog, views: Views): Promise<void> {
  const events = log.summary?.events ?? [];
  if (events.length === 0) {
    const reading = log.summary !== undefined && isUnderWay(log.summary.state);
    const state = reading ? 'No events so far; the log is still being read.' : 'No events in this log.';
    void vscode.window.showInformationMessage(state);
    return;
  }
  const picked = await pickEvent(events, 'Events');
  if (picked) await showEvent(log, views, picked);
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
  await revealLine(log.uri, event.line);
}
