import assert from 'node:assert/strict';
import { mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Office } from './desk.ts';
import { writeLongLog } from './longLog.ts';
import { ViewPage } from './viewPage.ts';

const sample = 'release.strain.csv';
/** Windows on another machine, as all of these are, show no text above this unless they are told to. */
const bytes = 11 * 1024 * 1024;

describe('a log that a window on another machine does not open by itself', () => {
  const folder = mkdtempSync(join(tmpdir(), 'underplate-placeholder-'));
  let office: Office;

  before(async () => {
    await writeLongLog(join(folder, 'long.strain.csv'), sample, bytes);
    assert.ok(statSync(join(folder, 'long.strain.csv')).size > bytes);
    office = await Office.open({ 'workbench.editorLargeFileConfirmation': undefined });
  });

  after(async () => {
    await office.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it('is led into by excerpts as long as its text is not shown', async () => {
    const { editor, page } = await office.deskIn(folder);
    await editor.openFile('long.strain.csv');
    const view = await ViewPage.open(editor);
    await view.events(/./).first().click();
    const button = view.frame.locator('vscode-button', { hasText: /^Line \d+/ });
    const line = Number(/\d+/.exec(await button.innerText())?.[0]);
    await page.locator('.tab', { hasText: `around line ${line}` }).waitFor();
    const row = readFileSync(join(folder, 'long.strain.csv'), 'utf8').split('\n')[line - 1] ?? '';
    await editor.visibleLine(row.slice(0, 40)).first().waitFor();
  });

  it('has its view without its text, and is opened once the offer to raise the limit is taken', async () => {
    const { editor, page } = await office.deskIn(folder);
    await editor.openFile('long.strain.csv');
    const placeholder = page.locator('.monaco-editor-pane-placeholder', { hasText: /large/ });
    await placeholder.waitFor();
    const view = await ViewPage.open(editor);
    assert.ok((await view.events(/./).count()) > 0);
    await editor.notification(/asks before it opens files above 10 MB/).waitFor();
    await page.getByRole('button', { name: 'Open Files up to 1 GB' }).click();
    await placeholder.waitFor({ state: 'hidden' });
    await editor.cursorLine(1);
    await view.events(/./).first().click();
    const button = view.frame.locator('vscode-button', { hasText: /^Line \d+/ });
    await editor.cursorLine(Number(/\d+/.exec(await button.innerText())?.[0]));
  });
});
