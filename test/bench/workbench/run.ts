// `npm run bench:open [-- MB]`: opening a log in a real editor. From the command to the sampled plot, to the exact one and
// to all found; the same again from the index, beside a page with nothing on it, which is what the editor itself takes; from
// an event to its line; and how long the extension takes to start.
// The packed extension is measured (build.mjs packs it first). Nothing is asserted; figures are of this machine.
import { copyFileSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { loadavg } from 'node:os';
import { setTimeout as wait } from 'node:timers/promises';
import type { Frame, Page } from 'playwright-core';
import { askProbe } from '../../workbench/askProbe.ts';
import { Office } from '../../workbench/desk.ts';
import type { EditorPage } from '../../workbench/editorPage.ts';
import { benchFolder, benchLog } from '../logs.ts';

/** As watchPage.js notes it. */
interface Moment {
  readonly what: 'state' | 'drawn' | 'click' | 'cursor';
  readonly text: string;
  readonly at: number;
}

const extension = 'underplate.underplate';
const watching = readFileSync(join(import.meta.dirname, 'watchPage.js'), 'utf8');
const patienceMs = 300_000;
const megabytes = Number(process.argv[2] ?? 300);
if (!Number.isInteger(megabytes) || megabytes < 1) {
  console.error(`bench: got '${process.argv[2]}', expected a whole number of megabytes`);
  process.exit(2);
}

const source = resolve(benchLog(megabytes, say));
const folder = resolve(benchFolder, 'opened');
rmSync(folder, { recursive: true, force: true });
mkdirSync(folder, { recursive: true });
copyFileSync(source, join(folder, 'big.strain.csv'));
copyFileSync('sample-logs/release.strain.csv', join(folder, 'small.strain.csv'));

say(`load ${loadavg()[0]!.toFixed(1)} before`);
const office = await Office.open();
try {
  const { editor, page } = await office.deskIn(folder);
  await wait(5000); // until the editor itself has come to rest
  const { took } = await ask<{ took: number }>({ activate: extension });
  say(`extension loaded and started: ${took.toFixed(0)} ms`);
  await opening(editor, 'first opening');
  await eventToLine(editor, page);
  await opening(editor, 'again in the same window');
  await startAnew(page);
  await opening(editor, 'again in a new window');
  // Any but the first page of a window waits a second more, in the editor, whatever is on it.
  const empty = await ask<{ took: number }>({ emptyPage: true });
  say(`a page with nothing on it, from its making to its first word: ${empty.took.toFixed(0)} ms`);
  say(`the editor's own figures: ${await editorsFigures(editor, page)}`);
} finally {
  await office.close();
  rmSync(folder, { recursive: true, force: true });
  say(`load ${loadavg()[0]!.toFixed(1)} after`);
}

/** The editor loaded anew, with nothing open. */
async function startAnew(page: Page): Promise<void> {
  // Closed before, so that the editor has noted it: else it opens the view again by itself.
  await ask({ command: 'workbench.action.closeAllEditors', file: '' });
  await page.reload();
  await page.locator('.monaco-workbench').waitFor();
  await wait(5000);
  // It may have opened the view again all the same; what was there already cannot be timed.
  await ask({ command: 'workbench.action.closeAllEditors', file: '' });
  await wait(2000);
}

async function opening(editor: EditorPage, title: string): Promise<void> {
  const { startedMs } = await ask<{ startedMs: number }>({ command: 'underplate.openView', file: 'big.strain.csv' });
  const frame = await watchedView(editor);
  await frame.getByText('read to the end').waitFor({ timeout: patienceMs });
  await wait(1000);
  const moments = await momentsOf(frame);
  const seen = (test: (moment: Moment) => boolean): string => {
    const found = moments.find((moment) => moment.at > startedMs && test(moment));
    return found ? `${(found.at - startedMs).toFixed(0)} ms` : 'never';
  };
  say(
    `${title}, ${megabytes} MB: view ${seen(() => true)}, first plot ${seen(({ what }) => what === 'drawn')}, ` +
      `exact plot ${seen(({ what, text }) => what === 'drawn' && text === 'exact')}, ` +
      `all found ${seen(({ text }) => text === 'read to the end')}`,
  );
  const states = moments.filter(({ what, at }) => what === 'state' && at > startedMs);
  say(`  ${states.map(({ text, at }) => `${(at - startedMs).toFixed(0)} ms '${text}'`).join(', ')}`);
  await ask({ command: 'workbench.action.closeAllEditors', file: '' });
}

/** From the click on an event's line to the editor's cursor there. */
async function eventToLine(editor: EditorPage, page: Page): Promise<void> {
  await ask({ command: 'vscode.open', file: 'small.strain.csv' });
  await ask({ command: 'underplate.openView', file: 'small.strain.csv' });
  const frame = await watchedView(editor);
  await page.evaluate(watching);
  await frame.getByText('read to the end').waitFor();
  const took: number[] = [];
  for (const event of (await frame.locator('[role=option][data-event]').all()).slice(0, 3)) {
    await event.click();
    await wait(1500);
    const line = /\d+/.exec(await frame.locator('vscode-button', { hasText: /^Line \d+/ }).innerText())?.[0];
    const click = (await momentsOf(frame)).filter(({ what }) => what === 'click').at(-1);
    const arrived = (await momentsOf(page.mainFrame())).find(
      ({ what, text, at }) => what === 'cursor' && text === line && click && at >= click.at,
    );
    if (click && arrived) took.push(arrived.at - click.at);
  }
  say(`event to its line: ${took.map((ms) => `${ms.toFixed(0)} ms`).join(', ') || 'not seen'}`);
  await ask({ command: 'workbench.action.closeAllEditors', file: '' });
}

/** The view's page, watched from within a moment of its being there; the editor's ways would lose an earlier watcher. */
async function watchedView(editor: EditorPage): Promise<Frame> {
  const frame = await editor.viewFrame(undefined, 10);
  await frame.evaluate(watching);
  return frame;
}

function momentsOf(frame: Frame): Promise<readonly Moment[]> {
  return frame.evaluate<readonly Moment[]>('window.underplateMoments ?? []');
}

async function editorsFigures(editor: EditorPage, page: Page): Promise<string> {
  await editor.runCommand('Developer: Show Running Extensions');
  const row = page.locator('.runtime-extensions-editor .monaco-list-row', { hasText: 'Underplate' }).first();
  await row.waitFor();
  return (await row.locator('.activation-time').innerText()).trim();
}

function ask<Answer>(request: object): Promise<Answer> {
  return askProbe(folder, request);
}

function say(message: string): void {
  console.log(`bench: ${message}`);
}
