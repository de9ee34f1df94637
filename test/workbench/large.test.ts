import assert from 'node:assert/strict';
import { createWriteStream, statSync } from 'node:fs';
import { join } from 'node:path';
import { once } from 'node:events';
import { lineWhere, sampleText } from './sample.ts';
import { openDesk } from './setup.ts';

const log = 'release.strain.csv';
/** Above what the editor shares with extensions. */
const bytes = 55 * 1024 * 1024;

describe('a log above the limits of the editor', () => {
  it('has view, findings and lines all the same', async function () {
    this.timeout(240_000);
    const { editor, page, folder } = await openDesk([]);
    const file = join(folder, 'long.strain.csv');
    await writeLong(file);
    assert.ok(statSync(file).size > bytes);
    await page.getByRole('button', { name: /Refresh Explorer/ }).click({ force: true });
    await editor.openFile('long.strain.csv');
    await editor.runCommand('Underplate: Open Plate View');
    const frame = await editor.viewFrame();
    await frame.getByText('read to the end').waitFor({ timeout: 120_000 });
    await frame.getByText(/Above 52 MB the editor/).waitFor();
    const event = frame.locator('[role=option][data-event]', { hasText: /bracket 1.*layer 44/ }).first();
    await event.click();
    const line = lineWhere(sampleText(log), (fields) => fields[1] === '44');
    // The editor tells nobody where its cursor is in a file of this size; its own status bar does.
    const layer44 = sampleText(log)
      .split('\n')
      .filter((row) => row.split(',')[1] === '44').length;
    const { line: shown } = await editor.cursorNear(line + Math.round(layer44 / 2), layer44);
    await editor.runCommand('Underplate: Show Lines Around a Place');
    await editor.answer(`:${shown}`);
    await page.locator('.tab.active', { hasText: `around line ${shown}` }).waitFor();
    const [time, layer] = sampleText(log).split('\n')[shown - 1]?.split(',') ?? [];
    await editor.visibleLine(`${time},${layer},`).first().waitFor();
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
