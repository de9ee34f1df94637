import assert from 'node:assert/strict';
import type { Page } from 'playwright-core';
import { startHarness, type ViewHarness } from './harness/viewHarness.ts';

/** The text of the picture saved by a panel's SVG button. */
async function saved(page: Page, panel: string, name: string): Promise<string> {
  await page.locator(panel).getByRole('button', { name: /^SVG/ }).click();
  const find = (wanted: string) => window.harness.told.find((one) => one.type === 'save' && one.name.endsWith(wanted));
  await page.waitForFunction(find, name);
  return page.evaluate((wanted) => {
    const notice = window.harness.told.find((one) => one.type === 'save' && one.name.endsWith(wanted))!;
    return new TextDecoder().decode((notice as { bytes: Uint8Array }).bytes);
  }, name);
}

function secondsOf(clock: string): number {
  return clock.split(':').reduce((sum, part) => 60 * sum + Number(part), 0);
}

describe('pictures taken away', () => {
  let harness: ViewHarness;
  before(async () => {
    harness = await startHarness();
  });
  after(() => harness.close());

  it('say by themselves which log, moment, layer, quantity and plane they show, on white in any theme', async () => {
    for (const theme of ['dark', 'high-contrast', 'light'] as const) {
      const page = await harness.open({ log: 'release.strain.csv', theme, width: 1300 });
      await page.locator('.plot-box canvas').first().waitFor();
      await page.locator('.plate-map .cell').first().waitFor();
      const map = await saved(page, 'section.plate', 'map.svg');
      for (const part of ['release.strain.csv', 'tray 8', 'principal strain', 'plane up', '0:28:46.0', 'layer 44']) {
        assert.ok(map.includes(part), `the map does not say ${part}`);
      }
      const plots = await saved(page, 'section.plots', 'plots.svg');
      for (const part of ['release.strain.csv', 'tray 8', 'Cell A1, plane up', '0:00:00 to 0:45:33']) {
        assert.ok(plots.includes(part), `the plots do not say ${part}`);
      }
      for (const text of [map, plots]) {
        assert.match(text, /<rect width="100%" height="100%" fill="#ffffff"\/?>/);
        assert.doesNotMatch(text, /NaN|undefined/);
      }
      await page.close();
    }
  });

  it('say whether they show the plate before or after the event, and at which moment and line', async () => {
    const page = await harness.open({ log: 'release.strain.csv', width: 1300 });
    await page.locator('.plate-map .cell').first().waitFor();
    const { row, detectedRow, timeS, line } = await page.evaluate(() => window.harness.summary().events[0]!);
    assert.ok(row < detectedRow);
    const told: string[] = [];
    // The rows of this log are its lines.
    for (const [view, shown] of [
      ['Before', line - 2],
      ['After', line + detectedRow - row],
    ] as const) {
      await page.getByRole('button', { name: new RegExp(`^${view}`) }).click();
      const says = new RegExp(`${view.toLowerCase()} the release at .*, line ${shown}\\b`);
      await page.locator('.map-caption', { hasText: says }).waitFor();
      told.push((await page.locator('.map-caption').textContent())!);
    }
    const [before, after] = told.map((text) => secondsOf(/ at ([\d:.]+)/.exec(text)![1]!));
    assert.ok(before! < timeS && timeS < after!, `${before} and ${after} about ${timeS}`);
    assert.ok((await saved(page, 'section.plate', 'map.svg')).includes('after the release at'));
    await page.close();
  });

  it('name the second log, as the legend of the page does', async () => {
    const page = await harness.open({ log: 'release.strain.csv', width: 1300 });
    await page.locator('.plot-box canvas').first().waitFor();
    await page.evaluate(() => window.harness.openReference('good-build.strain.csv'));
    const entry = page.locator('.plot-box .legend .second-log').first();
    await entry.waitFor();
    assert.equal(await entry.innerText(), 'good-build.strain.csv');
    assert.equal(await entry.locator('.sample').count(), 1);
    const plots = await saved(page, 'section.plots', 'plots.svg');
    assert.match(plots, />good-build\.strain\.csv</);
    await page.close();
  });
});
