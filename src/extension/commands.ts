// The commands of the palette and the menus. Each takes the log it is given, or the one in front, and says what to do
// where there is none.
import * as vscode from 'vscode';
import { showAllFindings } from './allFindings.ts';
import { chooseEvent, showEvent } from './eventList.ts';
import { excerptPlace, logLine, showExcerpt } from './excerpt.ts';
import { compareWithGoodBuilds } from './goodBuilds.ts';
import { explainPlaceholder } from './largeFiles.ts';
import { activeFile, fileName, mayBeLog } from './logFile.ts';
import type { Logs, OpenLog } from './logs.ts';
import { neighbour } from './neighbour.ts';
import { newLog } from './newLog.ts';
import { askForTime } from './goToTime.ts';
import { leadToLine } from './leadToLine.ts';
import { lastRevealed } from './reveal.ts';
import { saveFindings } from './saveFindings.ts';
import { chooseReference } from './views.ts';
import type { Views } from './views.ts';

type Action = (log: OpenLog) => unknown;

export function registerCommands(logs: Logs, views: Views): vscode.Disposable {
  const onLog = (name: string, action: Action): vscode.Disposable => registerOnLog(logs, views, name, action);
  return vscode.Disposable.from(
    onLog('openView', (log) => {
      views.open(log.uri);
      void explainPlaceholder(log.uri);
    }),
    onLog('listEvents', (log) => chooseEvent(log, views)),
    onLog('nextEvent', (log) => step(log, views, 1)),
    onLog('previousEvent', (log) => step(log, views, -1)),
    onLog('showAllFindings', showAllFindings),
    onLog('saveFindings', saveFindings),
    onLog('goToTime', async (log) => {
      const place = await askForTime(log, 'Go to a time or a line of the log');
      if (place) await leadToLine(log, place.line);
    }),
    onLog('showExcerpt', async (log) => {
      const place = await askForTime(log, 'Show the lines around a time or a line of the log');
      if (place) await showExcerpt(log.uri, place.line);
    }),
    onLog('stopReading', (log) => log.stop()),
    onLog('readAgain', (log) => log.readAgain()),
    onLog('startFollowing', (log) => {
      log.follow(true);
      vscode.window.setStatusBarMessage(`Underplate: rows appended to ${fileName(log.uri)} are taken in`, 4000);
    }),
    onLog('stopFollowing', (log) => log.follow(false)),
    onLog('chooseReference', (log) => chooseReference(views.open(log.uri))),
    onLog('compareWithGoodBuilds', (log) => compareWithGoodBuilds(logs, views.open(log.uri))),
    vscode.commands.registerCommand('underplate.showEvent', (uri: vscode.Uri, id: string) => {
      views.open(uri, true).tell({ type: 'showEvent', id });
      const log = logs.get(uri);
      const event = log?.summary?.events.find((candidate) => candidate.id === id);
      return log && event && leadToLine(log, event.line);
    }),
    vscode.commands.registerCommand('underplate.newLog', newLog),
  );
}

/** A command on one log, which stays open at least while the command runs. */
function registerOnLog(logs: Logs, views: Views, name: string, action: Action): vscode.Disposable {
  return vscode.commands.registerCommand(`underplate.${name}`, async (given?: unknown) => {
    const uri = given instanceof vscode.Uri ? given : activeLog(views);
    if (!uri) {
      await sayHowToBegin();
      return;
    }
    const { log, release } = logs.keep(uri);
    try {
      await action(log);
    } finally {
      release.dispose();
    }
  });
}

async function step(log: OpenLog, views: Views, direction: 1 | -1): Promise<void> {
  const event = neighbour(log.summary?.events ?? [], activeLine(log.uri) ?? lastRevealed(log.uri), direction);
  if (event) await showEvent(log, views, event);
  else void vscode.window.showInformationMessage('No events in this log so far.');
}

/** The log in front: its view's, its text's, or the one an excerpt is of. */
function activeLog(views: Views): vscode.Uri | undefined {
  const uri = views.activeLog();
  return uri && mayBeLog(uri) ? uri : undefined;
}

/** The log's line (from 1) at the cursor; undefined where the cursor stands elsewhere, or the editor does not tell. */
function activeLine(log: vscode.Uri): number | undefined {
  const editor = vscode.window.activeTextEditor;
  if (!editor) return undefined;
  const { document, selection } = editor;
  if (document.uri.toString() === log.toString()) return selection.active.line + 1;
  if (excerptPlace(document.uri)?.log.toString() !== log.toString()) return undefined;
  return logLine(document, selection.active.line);
}

async function sayHowToBegin(): Promise<void> {
  const open = 'Open a Log…';
  const start = 'New Log';
  const front = activeFile();
  const message = front
    ? 'This is no strain log. Its name ends with .strain.csv, or a companion .header.yaml stands beside it.'
    : 'Open a strain log first: a file whose name ends with .strain.csv.';
  const answer = await vscode.window.showInformationMessage(message, open, start);
  if (answer === open) await vscode.commands.executeCommand('workbench.action.files.openFile');
  if (answer === start) await newLog();
}
