import assert from 'node:assert/strict';
import { createWriteStream, mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { once } from 'node:events';
import { sampleText } from './sample.ts';
import { openDeskIn } from './setup.ts';

const log = 'release.strain.csv';
/** Above what the editor shares with extensions. */
const bytes = 55 * 1024 * 1024;

describe('a log above the limits of the editor', () => {
  const folder = mkdtempSync(join(tmpdir(), 'underplate-large-'));
  after(() => rmSync(folder, { recursive: true, force: true }));

  it('has view, findings and lines all the same', async function () {
    this.timeout(420_000);
    const file = join(folder, 'long.strain.csv');
    await writeLong(file);
    assert.ok(statSync(file).size > bytes);
    const { editor, page } = await openDeskIn(folder);
    await editor.openFile('long.strain.csv');
    await editor.runCommand('Underplate: Open Plate View');
    const frame = await editor.viewFrame();
    await frame.getByText('read to the end').waitFor({ timeout: 300_000 });
    await frame.getByText(/Above 52 MB the editor/).waitFor();
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
    await editor.runCommand('Underplate: Show Lines Around a Place');
    await editor.answer(`:${line}`);
    await page.locator('.tab.active', { hasText: `around line ${line}` }).waitFor();
    await editor.visibleLine(row.slice(0, 40)).first().waitFor();
  });
});

/** The sample log, its rows again and again with time and layer going on. */
async function writeLong(file: string): Promise<void> {
  const lines = sampleText(log).trimEnd().split('\n');
  const names = lines.findIndex((line) => !line.startsWith('#'));
  const rows = lines.slice(names + 1).map((line) => line.split(','));
  const spanS = Number(rows.at(-1)?.[0]) + 1;
  const layers = Number(rows.at(-1)?.[1]);
  const out = createWriteStream(file);
  out.write(`${lines.slice(0, names + 1).join('\n')}\n`);
  for (let written = 0, round = 0; written < bytes; round++) {
    const part = rows.map(([time, layer, ...rest]) =>
      [(Number(time) + round * spanS).toFixed(1), Number(layer) + round * layers, ...rest].join(','),
    );
    const text = `${part.join('\n')}\n`;
    written += text.length;
    if (!out.write(text)) await once(out, 'drain');
  }
  out.end();
  await once(out, 'finish');
}
