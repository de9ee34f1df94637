// Takes the pictures of README and walkthrough from the real editor, into webview/pictures/. Run it after a change of how
// things look, and look at them.
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
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
  const desk = await office.desk([`sample-logs/${log}`, 'sample-logs/header-mistakes.strain.csv'], options);
  await arrange(desk);
  await desk.page.waitForTimeout(1000); // what fades in has faded in
  await desk.page.screenshot({ path: join(folder, `${name}.png`) });
  console.log(`underplate: webview/pictures/${name}.png`);
  await office.clearDesks();
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
  await page.locator('.markers-panel .monaco-list-row', { hasText: 'bracket 1' }).first().waitFor();
}
