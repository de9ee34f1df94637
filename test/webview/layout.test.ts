import assert from 'node:assert/strict';
import type { Page } from 'playwright-core';
import { startHarness, type ViewHarness } from './harness/viewHarness.ts';

const releaseLog = 'release.strain.csv';

/** Left and right edges on the page, of every element that is shown. */
async function edges(page: Page, of: string): Promise<{ left: number; right: number }[]> {
  return page.locator(`${of}:visible`).evaluateAll((all) =>
    all.map((one) => {
      const { left, right } = one.getBoundingClientRect();
      return { left, right };
    }),
  );
}

describe("the page's layout", () => {
  let harness: ViewHarness;
  const openRelease = async (width: number, height = 1000): Promise<Page> => {
    const page = await harness.open({ log: releaseLog, width, height });
    await page.locator('.plot-box canvas').first().waitFor();
    await page.locator('.plate-map .cell').first().waitFor();
    return page;
  };

  before(async () => {
    harness = await startHarness();
  });
  after(() => harness.close());

  it('narrows the plots with the page, whatever width they had', async () => {
    const page = await openRelease(1900);
    for (const width of [1440, 1260, 800, 680, 500, 360]) {
      await page.setViewportSize({ width, height: 1000 });
      await page.waitForFunction(() => {
        const panel = document.querySelector('.plots')!.getBoundingClientRect();
        const all = [...document.querySelectorAll('.plot-box canvas')].map((one) => one.getBoundingClientRect());
        return all.length > 0 && all.every(({ left, right }) => left >= panel.left && right <= panel.right);
      });
      const events = (await edges(page, '.events'))[0]!;
      for (const plot of await edges(page, '.plot-box canvas')) {
        const apart = plot.right <= events.left || plot.left >= events.right;
        assert.ok(width < 680 || apart, `${width} px: a plot lies over the events`);
        assert.ok(plot.right <= width, `${width} px: a plot ends at ${plot.right}`);
      }
    }
    await page.close();
  });
});
