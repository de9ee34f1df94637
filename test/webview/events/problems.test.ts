import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { startHarness, type ViewHarness } from '../harness/viewHarness.ts';

const sample = readFileSync('sample-logs/release.strain.csv', 'utf8').split('\n');
const firstRow = sample.findIndex((line) => /^[\d.]+,/.test(line));
const badRows = 3;

/** The sample's first 700 rows, three of them cut short. */
function faultyLog(): string {
  const rows = sample
    .slice(firstRow, firstRow + 700)
    .map((line, row) => (row < 10 * badRows && row % 10 === 5 ? '5,1' : line));
  return [...sample.slice(0, firstRow), ...rows, ''].join('\n');
}

/** Tells the page the problems that it knows but for the first, of which `folded` more are counted in, and only `shown`. */
async function tell(page: Page, folded: number, shown: number): Promise<void> {
  await page.evaluate(
    ([more, kept]) => {
      const { problems } = window.harness.summary();
      const [first, ...rest] = problems;
      const changed = [{ ...first!, folded: more! }, ...rest].slice(0, kept);
      window.harness.tell({ type: 'summary', changes: { problems: changed } });
    },
    [folded, shown],
  );
  await page.locator('.problem-list li', { hasText: `and ${folded} more like it` }).waitFor({ state: 'attached' });
}

describe('the problems of a log, in the view', () => {
  let harness: ViewHarness;
  let page: Page;
  before(async () => {
    harness = await startHarness();
    harness.addLog('faulty.strain.csv', faultyLog());
  });
  after(() => harness.close());
  beforeEach(async () => {
    page = await harness.open({ log: 'faulty.strain.csv' });
    await page.locator('.problems summary').click();
  });
  afterEach(() => page.close());

  it('are counted one by one, also those of which an entry stands for many, while their number grows', async () => {
    assert.equal(await page.locator('.problem-list li').count(), badRows);
    for (const folded of [3, 397]) {
      await tell(page, folded, badRows);
      const found = badRows + folded;
      assert.equal(await page.locator('.problems summary').textContent(), `${found} problems in the log itself`);
      assert.match(
        (await page.locator('.headline .tally').textContent())!,
        new RegExp(`\\b${found} problems in the log\\b`),
      );
      assert.equal(await page.locator('.problems vscode-button').isVisible(), false, 'all entries are shown');
    }
  });

  it('stay where they are while the log grows: the focus, and those that were asked for', async () => {
    await tell(page, 2, 1);
    assert.equal(await page.locator('.problem-list li').count(), 1);
    await page.locator('.problems vscode-button').click();
    await page
      .locator('.problem-list li')
      .nth(badRows - 1)
      .waitFor();
    const link = page.locator('.problem-list .link').first();
    await link.focus();
    await page.evaluate(() => window.harness.tell({ type: 'summary', changes: { problems: [] } }));
    await page.waitForFunction(() => window.harness.asked.filter((name) => name === 'problems').length > 1);
    assert.equal(await page.locator('.problem-list li').count(), badRows);
    assert.ok(await link.evaluate((one) => one === document.activeElement));
  });
});
