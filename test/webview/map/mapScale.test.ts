import assert from 'node:assert/strict';
import type { Page } from 'playwright-core';
import { clock } from '../../../src/core/display/numberFormat.ts';
import { startHarness, type ViewHarness } from '../harness/viewHarness.ts';

describe('the scale of the map', () => {
  let harness: ViewHarness;
  const scaleAt = async (page: Page, timeS: number): Promise<string[]> => {
    await page.evaluate((at) => window.harness.tell({ type: 'cursor', timeS: at, toTimeS: at, line: 1 }), timeS);
    await page.locator('.map-caption', { hasText: clock(timeS, 1) }).waitFor();
    return page.locator('.plate-map .legend-text').allTextContents();
  };

  before(async () => {
    harness = await startHarness();
  });
  after(() => harness.close());

  for (const [view, option] of [
    ['strain', 'principal strain'],
    ['stress', 'principal stress'],
  ] as const) {
    it(`is one for the whole log, so that crosses of two moments can be compared (${view})`, async () => {
      const page = await harness.open({ log: 'release.strain.csv', height: 1600 });
      await page.locator('.plate-map .cell').first().waitFor();
      await scaleAt(page, 300);
      if (view !== 'strain') {
        await page.locator('vscode-dropdown[aria-label="Crosses"]').click();
        await page.getByRole('option', { name: option, exact: true }).locator('visible=true').click();
        await page.locator('.map-caption', { hasText: option }).waitFor();
      }
      await page.waitForTimeout(1500); // the scale is sought in the log
      const early = await scaleAt(page, 320);
      assert.equal(early.length, 3, 'tension, compression and, whatever the row, the ring without a direction');
      for (const timeS of [900, 1500, 2000, 2700, 310]) assert.deepEqual(await scaleAt(page, timeS), early);
      await page.close();
    });
  }

  it('says why there is no surface where too few cells have a value', async () => {
    const page = await harness.open({ log: 'release.strain.csv', height: 1600 });
    await page.locator('.plate-map .cell').first().waitFor();
    const one = await page.evaluate(() => {
      const { events } = window.harness.summary();
      return [{ ...events[0]!, cells: events[0]!.cells.slice(0, 1) }];
    });
    await page.evaluate(
      (events) => window.harness.tell({ type: 'summary', changes: { ...window.harness.summary(), events } }),
      one,
    );
    await page.getByRole('button', { name: /^Difference/ }).click();
    await page.locator('vscode-dropdown[aria-label="Surface"]').click();
    await page
      .getByRole('option', { name: 'mean of the principal values', exact: true })
      .locator('visible=true')
      .click();
    await page.locator('.plate-map .legend-text', { hasText: 'no surface: it takes three cells' }).waitFor();
    await page.close();
  });
});
