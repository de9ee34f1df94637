// One editor server and one browser, and desks in them: a window with a folder of its own and a fresh profile. For the
// tests and for the pictures alike.
import { cpSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { launchBrowser, openFolder } from './browser.ts';
import type { OpenOptions } from './browser.ts';
import { EditorPage } from './editorPage.ts';
import { startEditor } from './server.ts';
import type { RunningEditor } from './server.ts';

export const root = resolve(import.meta.dirname, '../..');

/** The same for every desk: nothing but the folder on screen, and no question about large files. */
const plainSettings: Readonly<Record<string, unknown>> = {
  'workbench.startupEditor': 'none',
  'workbench.tips.enabled': false,
  'workbench.colorTheme': 'Default Dark Modern',
  'workbench.secondarySideBar.defaultVisibility': 'hidden',
  'window.restoreWindows': 'none',
  'extensions.ignoreRecommendations': true,
  'security.workspace.trust.banner': 'never',
  'workbench.editorLargeFileConfirmation': 1024,
  'telemetry.telemetryLevel': 'off',
};

export const themes = {
  dark: 'Default Dark Modern',
  light: 'Default Light Modern',
  'high-contrast': 'Default High Contrast',
  'high-contrast-light': 'Default High Contrast Light',
} as const;

export interface DeskOptions extends OpenOptions {
  /** Settings of the folder. */
  readonly settings?: Readonly<Record<string, unknown>>;
}

export interface Desk {
  readonly editor: EditorPage;
  readonly page: Page;
  /** The folder open in the editor; a test may write in it. */
  readonly folder: string;
}

export class Office {
  readonly #editor: RunningEditor;
  readonly #browser: Browser;
  readonly #work: string;
  readonly #open: { readonly context: BrowserContext; readonly page: Page }[] = [];

  private constructor(editor: RunningEditor, browser: Browser, work: string) {
    this.#editor = editor;
    this.#browser = browser;
    this.#work = work;
  }

  /** `settings` are laid over the usual ones, for the whole server. */
  static async open(settings: Readonly<Record<string, unknown>> = {}): Promise<Office> {
    const work = mkdtempSync(join(tmpdir(), 'underplate-'));
    const vsix = join(root, 'dist/underplate.vsix');
    const dataFolder = join(work, 'server');
    const further = { folder: join(root, 'test/workbench/probe'), name: 'underplate-test.probe-1.0.0' };
    const editor = await startEditor({ dataFolder, vsix, further, settings: { ...plainSettings, ...settings } });
    return new Office(editor, await launchBrowser(), work);
  }

  /** A desk on a new folder that holds copies of `files` (paths from the top of the repository). */
  desk(files: readonly string[], options: DeskOptions = {}): Promise<Desk> {
    const folder = join(mkdtempSync(join(this.#work, 'desk-')), 'builds');
    mkdirSync(folder);
    for (const file of files)
      cpSync(join(root, file), join(folder, file.split('/').at(-1) ?? file), { recursive: true });
    return this.deskIn(folder, options);
  }

  /** A desk, with a new profile, on a folder that is there already. */
  async deskIn(folder: string, options: DeskOptions = {}): Promise<Desk> {
    if (options.settings) {
      mkdirSync(join(folder, '.vscode'), { recursive: true });
      writeFileSync(join(folder, '.vscode/settings.json'), JSON.stringify(options.settings, undefined, 2));
    }
    const opened = await openFolder(this.#browser, this.#editor.address, folder, options);
    this.#open.push(opened);
    return { editor: new EditorPage(opened.page), page: opened.page, folder };
  }

  /** Pages of the desks that are open. */
  get pages(): readonly Page[] {
    return this.#open.map(({ page }) => page);
  }

  async clearDesks(): Promise<void> {
    for (const { context } of this.#open.splice(0)) await context.close();
  }

  async close(): Promise<void> {
    await this.#browser.close();
    await this.#editor.stop();
    rmSync(this.#work, { recursive: true, force: true });
  }
}
