import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { clock } from '../../../src/core/display/numberFormat.ts';
import { startHarness, type ViewHarness } from '../harness/viewHarness.ts';

const release = readFileSync('sample-logs/release.strain.csv', 'utf8');
/** Time of every row, in order, read apart from any code of ours. */
const times = release
  .split('\n')
  .filter((line) => /^[\d.]+,/.test(line))
  .map((line) => Number(line.split(',')[0]));

describe('the timeline', () => {
  let harness: ViewHarness;
  before(async () => {
    harness = await startHarness();
    // The same rows, whose layer is told by no column.
    harness.addLog('nolayer.strain.csv', release.replace(/\blayer(?=[,}])/g, 'counter'));
  });
  after(() => harness.close());

  describe("'s slider, by arrow keys", () => {
    let page: Page;
    const place = sliderTells(() => page);
    beforeEach(async () => {
      page = await harness.open({ log: 'release.strain.csv', width: 1300 });
      // Until then the view itself may move the cursor to what it finds.
      await page.getByText('read to the end').first().waitFor();
    });
    afterEach(() => page.close());

    it('goes from row to row', async () => {
      const at = 700;
      await page.evaluate(
        (timeS) => window.harness.tell({ type: 'cursor', timeS, toTimeS: timeS, line: 1 }),
        times[at]!,
      );
      await place(times[at]!);
      await page.locator('input[type=range]').focus();
      await page.keyboard.press('ArrowRight');
      await place(times[at + 1]!);
      for (let i = 0; i < 5; i++) await page.keyboard.press('ArrowUp');
      await place(times[at + 6]!);
      await page.keyboard.press('ArrowLeft');
      await page.keyboard.press('ArrowDown');
      await place(times[at + 4]!);
      const line = await page.evaluate(() => window.harness.told.findLast(({ type }) => type === 'reveal'));
      assert.equal(line?.type === 'reveal' && Number(release.split('\n')[line.line - 1]!.split(',')[0]), times[at + 4]);
    });

    it('goes back to the row before when it stands between two, and no further than the log', async () => {
      const between = (times[9]! + times[10]!) / 2;
      await page.evaluate((timeS) => window.harness.tell({ type: 'cursor', timeS, toTimeS: timeS, line: 1 }), between);
      await place(between);
      await page.locator('input[type=range]').focus();
      await page.keyboard.press('ArrowLeft');
      await place(times[9]!);
      for (let row = 8; row >= -1; row--) {
        await page.keyboard.press('ArrowLeft');
        await place(times[Math.max(0, row)]!);
      }
      await page.keyboard.press('End');
      await place(times.at(-1)!);
    });
  });

  it('draws the gravest of events that lie on one another on top', async () => {
    const page = await harness.open({ log: 'release.strain.csv' });
    await page.evaluate(() => {
      const [one] = window.harness.summary().events;
      const events = (['information', 'warning', 'error', 'information'] as const).map((severity, i) => ({
        ...one!,
        ...{ severity, id: `${severity}-${i}` },
      }));
      window.harness.tell({ type: 'summary', changes: { ...window.harness.summary(), events } });
    });
    await page.locator('.strip .chosen .event-sign.error').waitFor({ state: 'attached' });
    const signs = await page
      .locator('.strip .event-sign')
      .evaluateAll((all) => all.map((one) => one.classList.item(1)));
    assert.deepEqual(signs, ['information', 'information', 'warning', 'error']);
    await page.close();
  });

  it('offers steps from layer to layer only where there are layers', async () => {
    const steps = (page: Page) => page.getByRole('button', { name: /^(‹ layer|layer ›)/ });
    const page = await harness.open({ log: 'release.strain.csv' });
    assert.equal(await steps(page).count(), 2);
    await page.close();
    const without = await harness.open({ log: 'nolayer.strain.csv' });
    await without.getByRole('button', { name: /^event ›/ }).waitFor();
    assert.equal(await steps(without).count(), 0);
    await without.close();
  });
});

/** Waits until the slider tells a time. */
function sliderTells(page: () => Page): (timeS: number) => Promise<void> {
  return async (timeS) => {
    await page().waitForFunction(
      (text) => document.querySelector('input[type=range]')!.getAttribute('aria-valuetext')!.startsWith(text),
      clock(timeS, 1),
    );
  };
}
