import assert from 'node:assert/strict';
import { mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { writeLongLog } from './longLog.ts';
import { openDeskIn } from './setup.ts';

const log = 'release.strain.csv';
/** Above what the editor shares with extensions. */
const bytes = 55 * 1024 * 1024;

/** Every row in sight, also where half of it is, has a number before it. */
const allNumbered = `[...document.querySelectorAll('.editor-group-container.active .view-line')]
  .filter((line) => /^\\d+\\.\\d,/.test(line.textContent))
  .every((line) => [...line.querySelectorAll('*')].some((part) => /\\d/.test(getComputedStyle(part, '::before').content)))`;

describe('a log above the limits of the editor', () => {
  const folder = mkdtempSync(join(tmpdir(), 'underplate-large-'));
  after(() => rmSync(folder, { recursive: true, force: true }));

  it('has view, findings and lines all the same', async function () {
    this.timeout(420_000);
    const file = join(folder, 'long.strain.csv');
    await writeLongLog(file, log, bytes);
    assert.ok(statSync(file).size > bytes);
    const { editor, page } = await openDeskIn(folder);
    await editor.openFile('long.strain.csv');
    await editor.runCommand('Underplate: Open Plate View');
    const frame = await editor.viewFrame();
    await frame.getByText('read to the end').waitFor({ timeout: 300_000 });
    await frame.getByText(/Above 50 MB the editor/).waitFor();
    const event = frame.locator('[role=option][data-event]').first();
    await event.click();
    const layer = /layer (\d+)/.exec(await event.innerText())?.[1];
    const button = frame.locator('vscode-button', { hasText: /^Line \d+/ });
    const line = Number(/\d+/.exec(await button.innerText())?.[0]);
    await button.click();
    // The editor tells no extension where its cursor is in a file of this size; its own status bar does.
    await editor.cursorLine(line);
    const row = readFileSync(file, 'utf8').split('\n')[line - 1] ?? '';
    assert.equal(row.split(',')[1], layer);
    // So a note is asked its place, and offered where one was led to last.
    await editor.runCommand('Underplate: Add Note at Cursor');
    await page.locator('.quick-input-widget', { hasText: 'Note on which time or line?' }).waitFor();
    await page.keyboard.press('Enter');
    await page.locator('.quick-input-widget', { hasText: 'Note on cell' }).waitFor();
    await editor.answer('A knock was heard.');
    await editor.explorerItem('long.strain.csv.notes.yaml').waitFor();
    assert.match(readFileSync(`${file}.notes.yaml`, 'utf8'), new RegExp(`time: ${Number(row.split(',')[0])}\\n`));
    await editor.runCommand('Underplate: Show Lines Around a Place');
    await editor.answer(`:${line}`);
    await page.locator('.tab.active', { hasText: `around line ${line}` }).waitFor();
    assert.ok(await frame.locator('.timeline').isVisible(), 'the view stays in sight');
    await editor.visibleLine(row.slice(0, 40)).first().waitFor();
    await page.waitForFunction(allNumbered);
    await editor.runCommand('Comments: Focus on Comments View');
    await page.locator('.comments-panel', { hasText: /around line.*A knock was heard/s }).waitFor();
  });
});
