// Takes the pictures of README and walkthrough from the real editor, into webview/pictures/. Run it after a change of how
// things look, and look at them.
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { Office, root, themes } from './desk.ts';
import type { Desk, DeskOptions } from './desk.ts';
import { ViewPage } from './viewPage.ts';

const folder = join(root, 'webview/pictures');
const log = 'release.strain.csv';
mkdirSync(folder, { recursive: true });

const office = await Office.open();
try {
  for (const [name, theme] of Object.entries(themes)) {
    await take(`view-${name}`, { settings: { 'workbench.colorTheme': theme }, width: 1500, height: 950 }, openEvent);
  }
  const small = { width: 1100, height: 720 };
  await take('view-narrow', { width: 900, height: 950 }, openEvent);
  await take('walkthrough-text', small, openText);
  await take('walkthrough-problems', small, openProblems);
  await take('walkthrough-view', { width: 1400, height: 860 }, openEvent);
} finally {
  await office.close();
}

async function take(name: string, options: DeskOptions, arrange: (desk: Desk) => Promise<void>): Promise<void> {
  const settings = { 'editor.minimap.enabled': false, ...options.settings };
  const files = [`sample-logs/${log}`, 'sample-logs/header-mistakes.strain.csv'];
  const desk = await office.desk(files, { ...options, settings });
  await arrange(desk);
  await desk.page.waitForTimeout(1000); // what fades in has faded in
  await save(name, desk.page);
  await office.clearDesks();
}

/** As WebP, which takes a quarter of the room of PNG here; the browser turns one into the other. */
async function save(name: string, page: Page): Promise<void> {
  const png = (await page.screenshot()).toString('base64');
  const blank = await page.context().newPage();
  const base64 = await blank.evaluate<string>(`new Promise((done) => {
    const picture = new Image();
    picture.onload = () => {
      const canvas = document.createElement('canvas');
      Object.assign(canvas, { width: picture.width, height: picture.height });
      canvas.getContext('2d').drawImage(picture, 0, 0);
      done(canvas.toDataURL('image/webp', 0.8).split(',')[1]);
    };
    picture.src = 'data:image/png;base64,${png}';
  })`);
  await blank.close();
  const webp = Buffer.from(base64, 'base64');
  writeFileSync(join(folder, `${name}.webp`), webp);
  console.log(`underplate: webview/pictures/${name}.webp, ${Math.round(webp.length / 1000)} kB`);
}

/** The text, the view beside it, and in both the gravest event. */
async function openEvent({ editor, page }: Desk): Promise<void> {
  await editor.openFile(log);
  await page.keyboard.press('Control+B'); // the folder's list makes room
  const view = await ViewPage.open(editor);
  await view
    .events(/bracket 1.*layer 44/)
    .first()
    .click();
  await view.caption(/layer 4\d/).waitFor();
}

async function openText({ editor, page }: Desk): Promise<void> {
  await editor.openFile(log);
  await page.keyboard.press('Control+B');
  await editor.openProblems();
  await page.locator('.markers-panel .monaco-list-row', { hasText: 'bracket 1' }).first().dblclick();
  await editor.runCommand('View: Hide Panel');
  await page.locator('.codelens-decoration').first().waitFor();
}

async function openProblems({ editor, page }: Desk): Promise<void> {
  await editor.openFile('header-mistakes.strain.csv');
  await editor.openFile(log);
  await page.keyboard.press('Control+B');
  await editor.openProblems();
  await page.locator('.markers-panel .monaco-list-row', { hasText: 'MPa' }).first().waitFor();
}
