// Asks for a time or a line of the log and finds its place.
import * as vscode from 'vscode';
import { clock } from '../core/display/numberFormat.ts';
import type { RowPlace } from '../core/table/rowReader.ts';
import type { OpenLog } from './logs.ts';
import { placeAsked } from './placeAsked.ts';

/** `title`: what the place is asked for. */
export async function askForTime(log: OpenLog, title: string): Promise<RowPlace | undefined> {
  const { summary, calls } = log;
  if (!summary || !calls) {
    void vscode.window.showInformationMessage('The log is not read yet; try again in a moment.');
    return undefined;
  }
  const answer = await vscode.window.showInputBox({
    title,
    prompt: `Time as the log has it (h:mm:ss, ${clock(summary.startS)} to ${clock(summary.endS)}), seconds with an s (754.2 s), or a line (:20412)`,
    validateInput: (text) => (text === '' || placeAsked(text) ? undefined : 'Write h:mm:ss, 754.2 s or :20412'),
  });
  const asked = answer === undefined ? undefined : placeAsked(answer);
  return asked && calls.place(asked);
}
