// Above the line where an event begins: what it is, and the way to its place in the view. (The editor shows no such
// lines in files above 20 MB or 300 000 lines; the list of problems and the view lead there too.)
import * as vscode from 'vscode';
import type { StrainEvent } from '../core/change/events.ts';
import { rowSelector } from './logFile.ts';
import type { Logs } from './logs.ts';

export function registerEventLenses(logs: Logs): vscode.Disposable {
  const changed = new vscode.EventEmitter<void>();
  return vscode.Disposable.from(
    changed,
    logs.onDidChange(() => changed.fire()),
    vscode.languages.registerCodeLensProvider(rowSelector, {
      onDidChangeCodeLenses: changed.event,
      provideCodeLenses(document) {
        const events = logs.get(document.uri)?.summary?.events ?? [];
        return events
          .filter((event) => event.line <= document.lineCount)
          .flatMap((event) => lenses(document.uri, event));
      },
    }),
  );
}

export function lenses(uri: vscode.Uri, event: StrainEvent, line = event.line): vscode.CodeLens[] {
  const range = new vscode.Range(line - 1, 0, line - 1, 0);
  return [
    new vscode.CodeLens(range, {
      title: `${eventSign(event)}\u00a0${event.message}`,
      tooltip: event.evidence.map(({ text }) => text).join('\n'),
      command: 'underplate.showEvent',
      arguments: [uri, event.id],
    }),
  ];
}

/** The sign of an event's nature, the same in the gutter, above the line and in lists. */
export function eventSign({ nature, severity }: StrainEvent): string {
  if (nature === 'mechanical') return severity === 'error' ? '$(error)' : '$(warning)';
  return nature === 'thermal' ? '$(flame)' : '$(plug)';
}
