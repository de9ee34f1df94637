// Mocha's frame for the tests in a real editor: one editor and one browser for the whole run, a fresh profile and a
// fresh copy of its files for each test that asks, a picture of the page where a test failed.
import { cpSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { launchBrowser, openFolder } from './browser.ts';
import type { OpenOptions } from './browser.ts';
import { EditorPage } from './editorPage.ts';
import { startEditor } from './server.ts';
import type { RunningEditor } from './server.ts';

const root = resolve(import.meta.dirname, '../..');

/** The same for every test: nothing but the folder on screen, and no question about large files unless a test asks. */
export const plainSettings: Readonly<Record<string, unknown>> = {
  'workbench.startupEditor': 'none',
  'workbench.tips.enabled': false,
  'workbench.colorTheme': 'Default Dark Modern',
  'window.restoreWindows': 'none',
  'extensions.ignoreRecommendations': true,
  'security.workspace.trust.banner': 'never',
  'workbench.editorLargeFileConfirmation': 1024,
  'git.enabled': false,
  'telemetry.telemetryLevel': 'off',
};

let editor: RunningEditor | undefined;
let browser: Browser | undefined;
let work = '';
const opened: { context: BrowserContext; page: Page }[] = [];

export interface Desk {
  readonly editor: EditorPage;
  readonly page: Page;
  /** The folder open in the editor; a test may write in it. */
  readonly folder: string;
}

/** A new window on a new folder that holds copies of `files` (paths from the top of the repository). */
export async function openDesk(files: readonly string[], options: OpenOptions = {}): Promise<Desk> {
  if (!editor || !browser) throw new Error('the editor is not running');
  const folder = mkdtempSync(join(work, 'desk-'));
  for (const file of files) cpSync(join(root, file), join(folder, file.split('/').at(-1) ?? file), { recursive: true });
  return openDeskIn(folder, options);
}

/** A new window, with a new profile, on a folder that is there already. */
export async function openDeskIn(folder: string, options: OpenOptions = {}): Promise<Desk> {
  if (!editor || !browser) throw new Error('the editor is not running');
  const desk = await openFolder(browser, editor.address, folder, options);
  opened.push(desk);
  return { editor: new EditorPage(desk.page), page: desk.page, folder };
}

export const mochaHooks = {
  async beforeAll(this: Mocha.Context): Promise<void> {
    this.timeout(600_000); // the first run installs the editor
    work = mkdtempSync(join(tmpdir(), 'underplate-'));
    const vsix = join(root, 'dist/underplate.vsix');
    editor = await startEditor({ dataFolder: join(work, 'server'), vsix, settings: plainSettings });
    browser = await launchBrowser();
  },

  async afterEach(this: Mocha.Context): Promise<void> {
    if (this.currentTest?.state === 'failed') await picture(this.currentTest.fullTitle());
    for (const { context } of opened.splice(0)) await context.close();
  },

  async afterAll(): Promise<void> {
    await browser?.close();
    await editor?.stop();
    if (work !== '') rmSync(work, { recursive: true, force: true });
  },
};

async function picture(title: string): Promise<void> {
  const folder = join(root, '.demo/failures');
  mkdirSync(folder, { recursive: true });
  for (const [index, { page }] of opened.entries()) {
    const path = join(folder, `${title.replace(/\W+/g, '-').slice(0, 100)}-${index + 1}.png`);
    await page.screenshot({ path }).catch(() => undefined);
    console.log(`      picture: ${path}`);
  }
}
