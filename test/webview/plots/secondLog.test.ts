import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { startHarness, type ViewHarness } from '../harness/viewHarness.ts';

const release = readFileSync('sample-logs/release.strain.csv', 'utf8');

describe('what is said of a second log', () => {
  let harness: ViewHarness;
  let page: Page;
  const note = (text: string | RegExp): Promise<void> =>
    page.locator('.plots .plot-note').filter({ hasText: text }).waitFor({ state: 'attached' });
  const choose = async (label: string, option: string): Promise<void> => {
    await page.locator(`vscode-dropdown[aria-label="${label}"]:visible`).first().click();
    await page.getByRole('option', { name: option, exact: true }).locator('visible=true').first().click();
  };
  const second = (name: string): Promise<void> => page.evaluate((log) => window.harness.openReference(log), name);

  before(async () => {
    harness = await startHarness();
    // The same rows, whose layer is told by no column; and the same with the cell of another name.
    harness.addLog('nolayer.strain.csv', release.replace(/\blayer(?=[,}])/g, 'counter'));
    harness.addLog('renamed.strain.csv', release.replace(/\bA1\b/g, 'Q7').replace(/\bA1_/g, 'Q7_'));
  });
  after(() => harness.close());
  beforeEach(async () => {
    page = await harness.open({ log: 'release.strain.csv', width: 1300 });
    await page.locator('.plot-box canvas').first().waitFor();
    await choose('Cell', 'A1');
  });
  afterEach(() => page.close());

  it('names the cell that it has not', async () => {
    await second('renamed.strain.csv');
    await note('renamed.strain.csv has no cell A1.');
    await choose('Cell', 'B1');
    await note(/^$/);
    await page.locator('.plots .second-log').first().waitFor();
  });

  it('tells that it cannot be aligned by layer', async () => {
    await second('nolayer.strain.csv');
    await page.locator('.plots .second-log').first().waitFor();
    assert.equal(await page.locator('.plots .plot-note').textContent(), '');
    await choose('Align by', 'layer');
    await note(/nolayer\.strain\.csv shares fewer than two layers with this log/);
    await choose('Align by', 'time since start');
    await note(/^$/);
  });

  it('is nothing where both are alike', async () => {
    await second('good-build.strain.csv');
    await choose('Align by', 'layer');
    await page.locator('.plots .second-log').first().waitFor();
    assert.equal(await page.locator('.plots .plot-note').textContent(), '');
  });
});
