// 'Compare with Good Builds': asks which logs are good builds, has them boiled down and compared in their workers, and
// hands the comparison to the log's view. The choice is remembered for each log while the window is open.
import * as vscode from 'vscode';
import type { ProfiledBuild } from '../core/compare/compareBuilds.ts';
import { wordsOf } from '../core/problem.ts';
import type { GoodBuilds } from '../messages/goodBuilds.ts';
import { fileName, logFilters, otherLogs } from './logFile.ts';
import type { Logs } from './logs.ts';
import type { LogView } from './view.ts';

/** Share of good builds that a layer's band is to hold. */
const coverage = 0.95;

/** URIs of the good builds by the log they were chosen for. */
const chosen = new Map<string, readonly string[]>();

export async function compareWithGoodBuilds(logs: Logs, view: LogView): Promise<void> {
  const good = await askForGoodBuilds(view.uri);
  if (!good) return;
  chosen.set(view.uri.toString(), good.map(String));
  const title = `Comparing ${fileName(view.uri)} with ${good.length} good builds`;
  await vscode.window.withProgress(
    { location: vscode.ProgressLocation.Notification, title, cancellable: true },
    async (progress, cancelled) => {
      try {
        const comparison = await compare(logs, view.uri, good, progress, cancelled);
        if (comparison) view.setGoodBuilds(comparison);
      } catch (error) {
        const reason = wordsOf(error);
        void vscode.window.showErrorMessage(`Not compared: ${reason}`);
      }
    },
  );
}

async function compare(
  logs: Logs,
  uri: vscode.Uri,
  good: readonly vscode.Uri[],
  progress: vscode.Progress<{ message: string; increment: number }>,
  cancelled: vscode.CancellationToken,
): Promise<GoodBuilds | undefined> {
  const own = logs.keep(uri);
  const profiles: ProfiledBuild[] = [];
  try {
    // One after the other: each log is read by several threads already.
    for (const one of good) {
      if (cancelled.isCancellationRequested) return undefined;
      progress.report({ message: fileName(one), increment: 100 / (good.length + 1) });
      const kept = logs.keep(one);
      try {
        const profile = await unlessCancelled(kept.log.profile(), cancelled);
        if (!profile) return undefined;
        profiles.push(profile);
      } finally {
        kept.release.dispose();
      }
    }
    return await unlessCancelled(own.log.compare({ good: profiles, coverage }), cancelled);
  } finally {
    own.release.dispose();
  }
}

/** Undefined as soon as the user cancels; what is under way is then nobody's any more. */
async function unlessCancelled<T>(work: Promise<T>, cancelled: vscode.CancellationToken): Promise<T | undefined> {
  let listener: vscode.Disposable | undefined;
  const cancelling = new Promise<undefined>((done) => {
    listener = cancelled.onCancellationRequested(() => done(undefined));
  });
  try {
    return await Promise.race([work, cancelling]);
  } finally {
    listener?.dispose();
  }
}

interface LogItem extends vscode.QuickPickItem {
  readonly uri: vscode.Uri | undefined;
}

/** Two logs at least, other than `log`; undefined where the user turned away. */
async function askForGoodBuilds(log: vscode.Uri): Promise<readonly vscode.Uri[] | undefined> {
  const before = chosen.get(log.toString()) ?? [];
  const found = await otherLogs(log);
  const offered = new Map([...found.map(String), ...before].map((uri) => [uri, vscode.Uri.parse(uri)]));
  const logItems = [...offered.values()]
    .map((uri) => ({ label: vscode.workspace.asRelativePath(uri), uri, picked: before.includes(uri.toString()) }))
    .sort((a, b) => (a.label < b.label ? -1 : 1));
  const items: LogItem[] = [...logItems, { label: '$(folder-opened) Other files…', uri: undefined }];
  const picked = await vscode.window.showQuickPick(items, {
    title: `Good builds to compare ${fileName(log)} with`,
    placeHolder: 'Choose two at least, of the same job; the more, the narrower the band',
    canPickMany: true,
  });
  if (!picked) return undefined;
  const uris = picked.flatMap(({ uri }) => uri ?? []);
  if (picked.some(({ uri }) => !uri)) {
    uris.push(...((await vscode.window.showOpenDialog({ canSelectMany: true, filters: logFilters })) ?? []));
  }
  const good = [...new Map(uris.map((uri) => [uri.toString(), uri])).values()].filter(
    (uri) => uri.toString() !== log.toString(),
  );
  if (good.length >= 2) return good;
  void vscode.window.showErrorMessage(
    `A comparison needs two good builds at least, other than the log itself; ${good.length} chosen.`,
  );
  return undefined;
}
