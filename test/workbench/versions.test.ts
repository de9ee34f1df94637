// Logs under version control: earlier versions, and what a merge leaves.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { askProbe } from './askProbe.ts';
import { sampleText } from './sample.ts';
import { openDeskIn } from './setup.ts';

const log = 'release.strain.csv';
const text = sampleText(log);

describe('a log under version control', () => {
  const folder = mkdtempSync(join(tmpdir(), 'underplate-versions-'));
  after(() => rmSync(folder, { recursive: true, force: true }));

  it('is analysed in an earlier version, too, which says which one it is and keeps its notes', async () => {
    git(folder, 'init', '--quiet', '--initial-branch', 'main');
    writeFileSync(join(folder, log), text);
    git(folder, 'add', log);
    git(folder, 'commit', '--quiet', '--message', 'first');
    writeFileSync(join(folder, log), text.slice(0, text.lastIndexOf('\n', 400_000) + 1));
    const { editor, page } = await openDeskIn(folder);
    await editor.statusItem(/\bmain\b/).waitFor();
    await askProbe(folder, { command: 'git.openHEADFile', file: log });
    await editor.runCommand('Underplate: Open Plate View');
    await page.locator('.tab.active', { hasText: `Plate: ${log} (earlier version)` }).waitFor();
    const frame = await editor.viewFrame();
    await frame.getByText('read to the end').waitFor();
    const rows = text.split('\n').filter((line) => /^\d/.test(line)).length;
    const shown = await frame.locator('.facts-line').innerText();
    assert.ok(shown.replace(/\D/g, '').includes(String(rows)), shown);
    await frame.locator('[role=option][data-event]').first().click();
    await frame.getByRole('button', { name: 'Confirmed' }).click();
    await editor.notification("open the log's own file").waitFor();
  });
});

function git(folder: string, ...words: readonly string[]): void {
  const author = ['-c', 'user.name=R. Example', '-c', 'user.email=r@example.org'];
  const { status, stderr } = spawnSync('git', [...author, ...words], { cwd: folder, encoding: 'utf8' });
  assert.equal(status, 0, stderr);
}
