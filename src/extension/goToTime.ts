// Asks for a time or a line of the log and finds its place.
import * as vscode from 'vscode';
import { clock } from '../core/display/numberFormat.ts';
import type { Place, PlaceRequest } from '../messages/analysis.ts';
import type { OpenLog } from './logs.ts';

export async function askForTime(log: OpenLog): Promise<Place | undefined> {
  const { summary, calls } = log;
  if (!summary || !calls) {
    void vscode.window.showInformationMessage('The log is not read yet; try again in a moment.');
    return undefined;
  }
  const answer = await vscode.window.showInputBox({
    title: 'Go to a time or a line of the log',
    prompt: `Time since the start (h:mm:ss, up to ${clock(summary.endS - summary.startS)}), seconds with an s (754.2 s), or a line (:20412)`,
    validateInput: (text) =>
      text === '' || placeAsked(text, summary.startS) ? undefined : 'Write h:mm:ss, 754.2 s or :20412',
  });
  const asked = answer === undefined ? undefined : placeAsked(answer, summary.startS);
  return asked && calls.place(asked);
}

/** `1:02:03.5`, `2:03`, `754.2 s` as times since `startS`, `:20412` as a line; undefined for anything else. */
export function placeAsked(text: string, startS: number): PlaceRequest | undefined {
  const trimmed = text.trim();
  const line = /^:(\d+)$/.exec(trimmed);
  if (line) return { line: Number(line[1]) };
  const seconds = /^(\d+(?:\.\d+)?)\s*s$/.exec(trimmed);
  if (seconds) return { timeS: startS + Number(seconds[1]) };
  const parts = /^(?:(\d+):)?(\d{1,2}):(\d{1,2}(?:\.\d+)?)$/.exec(trimmed);
  if (!parts) return undefined;
  const [, hours = '0', minutes = '0', rest = '0'] = parts;
  return { timeS: startS + Number(hours) * 3600 + Number(minutes) * 60 + Number(rest) };
}
