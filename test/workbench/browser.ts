// A Chromium for the tests and pictures, and one page of the editor with a folder open in it.
import { chromium as playwright } from 'playwright-core';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { chromium } from './chromium.ts';

/** What keeps the browser from reaching out and from waiting for a screen. */
const flags = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

export interface OpenOptions {
  readonly width?: number;
  readonly height?: number;
  /** Answer to 'Do you trust the authors?'. False leaves the folder in restricted mode. */
  readonly trust?: boolean;
  readonly scale?: number;
}

export function launchBrowser(): Promise<Browser> {
  return playwright.launch({ executablePath: chromium(), args: flags });
}

/** Opens `folder` in a fresh profile and waits until the workbench stands. */
export async function openFolder(
  browser: Browser,
  address: string,
  folder: string,
  options: OpenOptions = {},
): Promise<{ readonly context: BrowserContext; readonly page: Page }> {
  const { width = 1440, height = 900, trust = true, scale = 1 } = options;
  const context = await browser.newContext({ viewport: { width, height }, deviceScaleFactor: scale });
  await context.grantPermissions(['clipboard-read', 'clipboard-write']);
  context.setDefaultTimeout(60_000); // a busy machine is slow, and nothing here is about time
  const page = await context.newPage();
  await page.goto(`${address}?folder=${encodeURIComponent(folder)}`);
  await page.locator('.monaco-workbench').waitFor({ timeout: 60_000 });
  await answerTrust(page, trust);
  return { context, page };
}

async function answerTrust(page: Page, trust: boolean): Promise<void> {
  const answer = page.getByRole('button', { name: trust ? /Yes, I trust/ : /No, I don't trust/ });
  const standing = page.locator('.explorer-folders-view');
  await answer.or(standing).first().waitFor({ timeout: 60_000 });
  // The question comes a moment after the workbench: give it the chance before going on without.
  await answer.waitFor({ timeout: 5_000 }).then(
    () => answer.click(),
    () => undefined,
  );
  await standing.waitFor();
}
