import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
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

  it('shows every column of the change at each cell, however wide the page', async () => {
    const page = await openRelease(1900);
    for (const width of [2400, 1500, 1300, 1250, 1100, 800, 720, 680, 500, 360]) {
      await page.setViewportSize({ width, height: 1000 });
      const [inner, room] = await page
        .locator('.table-scroll')
        .evaluate((one) => [one.scrollWidth, one.clientWidth] as const);
      assert.ok(inner! <= room!, `${width} px: ${inner} px of table in ${room} px`);
    }
    await page.close();
  });

  it('does not scroll the problems of a log within a page that is empty otherwise', async () => {
    const wrong = Array.from({ length: 30 }, (_, i) => `#   colour${i}: red`);
    const text = readFileSync(`sample-logs/${releaseLog}`, 'utf8').split('\n');
    const at = text.findIndex((line) => line.startsWith('#   strain_log'));
    const faulty = [...text.slice(0, at + 1), ...wrong, ...text.slice(at + 1)]
      .join('\n')
      .replace('250 mm, 250 mm', '1, 1');
    harness.addLog('wrong.strain.csv', faulty);
    const page = await harness.open({ log: 'wrong.strain.csv' });
    const list = page.locator('.problem-list');
    assert.ok((await list.locator('li').count()) >= 30);
    assert.ok(await list.evaluate((one) => one.scrollHeight <= one.clientHeight));
    await page.close();
  });

  it('does not scroll sideways for long names, however narrow the page', async () => {
    const text = readFileSync(`sample-logs/${releaseLog}`, 'utf8');
    const long = 'cell-in-front-on-the-left-under-the-support-of-the-bracket-A1';
    harness.addLog('long.strain.csv', text.replaceAll('A1', long));
    const page = await harness.open({ log: 'long.strain.csv', width: 400 });
    await page.locator('.plots h2', { hasText: long }).waitFor();
    await page.locator('.plot-box canvas').first().waitFor();
    for (const width of [400, 340]) {
      await page.setViewportSize({ width, height: 1000 });
      const fields = await edges(page, '.field');
      assert.ok(fields.length > 4);
      for (const { right } of fields) assert.ok(right <= width, `a field ends at ${right} of ${width} px`);
      // Plots and map follow the page a moment later.
      await page.waitForFunction((most) => document.documentElement.scrollWidth <= most, width);
    }
    await page.close();
  });

  it('keeps what is said within its panel, however long the names in it are and whatever the width', async () => {
    const text = readFileSync(`sample-logs/${releaseLog}`, 'utf8');
    const [cell, part] = [
      'Cell_in_front_on_the_left_below_the_gas_inlet',
      'left_bracket_of_the_second_trial_revision_C',
    ];
    harness.addLog('unbroken.strain.csv', text.replaceAll('A1', cell).replaceAll('bracket 1', part));
    const page = await harness.open({ log: 'unbroken.strain.csv', width: 1300 });
    await page.locator('.event-detail .evidence').waitFor();
    for (const width of [1300, 870, 440, 340]) {
      await page.setViewportSize({ width, height: 1000 });
      const beyond = await page.locator('.panel').evaluateAll((panels) =>
        panels.flatMap((panel) => {
          const { right } = panel.getBoundingClientRect();
          const said = [...panel.querySelectorAll('h2, p, li, dd, th, td, caption, button')];
          return said.filter((one) => one.getBoundingClientRect().right > right + 1).map((one) => one.outerHTML);
        }),
      );
      assert.deepEqual(beyond, [], `${width} px`);
    }
    await page.close();
  });

  it('does not cut the last time off the plots', async () => {
    const page = await openRelease(700, 1500);
    const { startS, endS } = await page.evaluate(() => window.harness.summary());
    assert.ok((endS % 300) / (endS - startS) < 0.02, 'a tick stands near the right edge');
    const inked = await page
      .locator('.plot-box canvas')
      .first()
      .evaluate((one) => {
        const { width, height } = one as HTMLCanvasElement;
        const edge = (one as HTMLCanvasElement).getContext('2d')!.getImageData(width - 6, height - 22, 6, 22).data;
        return edge.some((part, i) => i % 4 === 3 && part > 0);
      });
    assert.equal(inked, false, 'a label runs into the edge');
    await page.close();
  });
});
