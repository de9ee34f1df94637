// Asks for a time or a line of the log and finds its place.
import * as vscode from 'vscode';
import { clock } from '../core/display/numberFormat.ts';
import type { RowPlace } from '../core/table/rowReader.ts';
import { unreadReason } from './logs.ts';
import type { OpenLog } from './logs.ts';
import { placeAsked } from './placeAsked.ts';

/** `title`: what the place is asked for; `value`: what is offered as an answer. Says so where there is no such place. */
export async function askForTime(log: OpenLog, title: string, value = ''): Promise<RowPlace | undefined> {
  const { summary, calls } = log;
  const unread = (): void => {
    void vscode.window.showInformationMessage(`There is no place to go to: ${unreadReason(log.summary)}.`);
  };
  if (!summary || !calls) {
    unread();
    return undefined;
  }
  const answer = await vscode.window.showInputBox({
    title,
    value,
    prompt: `Time as the log has it (h:mm:ss, ${clock(summary.startS)} to ${clock(summary.endS)}), seconds with an s (754.2 s), or a line (:20412)`,
    validateInput: (text) => (text === '' || placeAsked(text) ? undefined : 'Write h:mm:ss, 754.2 s or :20412'),
  });
  const asked = answer === undefined ? undefined : placeAsked(answer);
  if (!asked) return undefined;
  // Asked of what runs by now: the log may have been read anew meanwhile.
  const place = await (await log.ready()).place(asked);
  if (!place) unread();
  return place;
}
