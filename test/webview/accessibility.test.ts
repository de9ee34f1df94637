import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { AxeResults } from 'axe-core';
import type { Page } from 'playwright-core';
import { bodyClass, themeNames, themeVariables } from './harness/editorThemes.ts';
import { startHarness, type ViewHarness } from './harness/viewHarness.ts';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** What axe-core calls serious or critical, with the elements it means. */
async function serious(page: Page): Promise<string[]> {
  await page.evaluate(axe);
  const { violations } = await page.evaluate(() =>
    (window as unknown as { axe: { run(): Promise<AxeResults> } }).axe.run(),
  );
  return violations
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html.slice(0, 160)).join(' | ')}`);
}

describe('the page for everyone', () => {
  let harness: ViewHarness;
  before(async () => {
    harness = await startHarness();
  });
  after(() => harness.close());

  for (const theme of themeNames) {
    it(`has nothing serious to an accessibility check (${theme})`, async () => {
      const page = await harness.open({ log: 'release.strain.csv', theme });
      await page.locator('.plate-map .cell').first().waitFor();
      for (const details of await page.locator('details > summary').all())
        if (await details.isVisible()) await details.click();
      for (const view of ['Map', 'Traces', 'Table']) {
        await page.getByRole('button', { name: new RegExp(`^${view}`) }).click();
        await page.waitForTimeout(300);
        assert.deepEqual(await serious(page), [], view);
      }
      await page.close();
    });
  }

  it('has nothing serious to an accessibility check where there is nothing to show', async () => {
    for (const log of ['header-mistakes.strain.csv', undefined]) {
      const page = await harness.open(log ? { log } : {});
      assert.deepEqual(await serious(page), [], log ?? 'no log yet');
      await page.close();
    }
  });

  for (const width of [320, 420, 700, 1000, 1500]) {
    it(`fits a panel of ${width} pixels without scrolling sideways`, async () => {
      const page = await harness.open({ log: 'two-planes.strain.csv', width });
      await page.locator('.plate-map .cell').first().waitFor();
      const over = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
      assert.ok(over <= 0, `${over} pixels too wide`);
      await page.close();
    });
  }

  it('breaks no rule of the content policy', async () => {
    const page = await harness.open({});
    await page.addInitScript(() => {
      document.addEventListener('securitypolicyviolation', (event) => {
        document.documentElement.dataset['violation'] = `${event.violatedDirective} ${event.blockedURI}`;
      });
    });
    await page.goto(`${page.url()}&log=release.strain.csv`);
    await page.locator('.plate-map .cell').first().waitFor();
    assert.equal(await page.locator('html').getAttribute('data-violation'), null);
    assert.equal(await page.locator('[style*="color"]').count(), 0);
    await page.close();
  });

  it('takes on a new theme at once, canvas included', async () => {
    const page = await harness.open({ log: 'release.strain.csv', theme: 'dark' });
    await page.locator('.plot-box canvas').first().waitFor();
    await page.waitForTimeout(300);
    const brightest = (): Promise<number> =>
      page
        .locator('.plot-box canvas')
        .first()
        .evaluate((one) => {
          const canvas = one as HTMLCanvasElement;
          const { data } = canvas.getContext('2d')!.getImageData(0, 0, 60, canvas.height);
          let sum = 0;
          let weight = 0;
          for (let i = 0; i < data.length; i += 4) {
            sum += data[i]! * data[i + 3]!;
            weight += data[i + 3]!;
          }
          return sum / weight;
        });
    const dark = await brightest();
    await page.evaluate(
      ([name, variables]) => {
        document.body.className = name;
        for (const [key, value] of Object.entries(variables)) document.documentElement.style.setProperty(key, value);
      },
      [bodyClass('light'), themeVariables('light')] as const,
    );
    await page.waitForTimeout(300);
    assert.ok((await brightest()) < dark - 50, 'tick labels turn from light to dark');
    await page.close();
  });

  it('reads out cursor and event to a screen reader', async () => {
    const page = await harness.open({ log: 'release.strain.csv' });
    await page.locator('.spoken', { hasText: /layer \d+/ }).waitFor({ state: 'attached' });
    assert.equal(await page.locator('.spoken').getAttribute('aria-live'), 'polite');
    assert.match((await page.locator('input[type=range]').getAttribute('aria-valuetext'))!, /^\d+:\d\d:\d\d/);
    await page.close();
  });
});
