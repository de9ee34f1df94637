import assert from 'node:assert/strict';
import type { Page } from 'playwright-core';
import { clock } from '../../../src/core/display/numberFormat.ts';
import { startHarness, type ViewHarness } from '../harness/viewHarness.ts';

describe('the values in the legends', () => {
  let harness: ViewHarness;
  const openRelease = async (): Promise<Page> => {
    const page = await harness.open({ log: 'release.strain.csv', width: 1300, height: 900 });
    await page.locator('.plot-box canvas').first().waitFor();
    await page.locator('.plot-stack').focus();
    return page;
  };
  const saysAt = (page: Page, text: string): Promise<void> => page.locator('.read-at', { hasText: text }).waitFor();
  /** The time that the read-out over the plots names, where it lies in the shown window of the harness's saved state. */
  const cursor = async (page: Page): Promise<{ fromS: number; toS: number; cursorS: number }> => {
    await page.waitForTimeout(400); // choices are kept once at rest
    return (await page.evaluate(() => window.harness.saved())) as { fromS: number; toS: number; cursorS: number };
  };

  before(async () => {
    harness = await startHarness();
  });
  after(() => harness.close());

  it('name the moment they are of', async () => {
    const page = await openRelease();
    const { timeS } = (await page.evaluate(() => window.harness.summary().events[0]))!;
    await saysAt(page, `Values at ${clock(timeS, 1)}`);
    await page.keyboard.press('Home');
    await saysAt(page, 'Values at 0:00:00.0');
    await page.close();
  });

  it('follow to the event when the time around it is shown', async () => {
    const page = await openRelease();
    const { timeS } = (await page.evaluate(() => window.harness.summary().events[0]))!;
    await page.keyboard.press('End');
    await page.getByRole('button', { name: /^Around it/ }).click();
    await saysAt(page, `Values at ${clock(timeS, 1)}`);
    await page.close();
  });

  it('go along when the window is moved by keys, as far as the log goes', async () => {
    const page = await openRelease();
    const { endS } = await page.evaluate(() => window.harness.summary());
    for (let i = 0; i < 3; i++) await page.keyboard.press('+');
    const span = await cursor(page).then(({ fromS, toS }) => toS - fromS);
    for (let i = 0; i < 12; i++) {
      await page.keyboard.press('Shift+ArrowRight');
      const now = await cursor(page);
      assert.ok(now.cursorS >= now.fromS && now.cursorS <= now.toS, `cursor at ${now.cursorS} outside`);
      assert.ok(Math.abs(now.toS - now.fromS - span) < 1e-6, 'moving keeps the width');
    }
    const last = await cursor(page);
    assert.ok(Math.abs(last.toS - endS) < 1e-6);
    await page.close();
  });

  it('are none of a moment that is not shown', async () => {
    const page = await openRelease();
    await page.keyboard.press('End');
    const strip = (await page.locator('.strip').boundingBox())!;
    await page.mouse.move(strip.x + strip.width * 0.2, strip.y + 25);
    await page.mouse.down();
    await page.mouse.move(strip.x + strip.width * 0.3, strip.y + 25, { steps: 4 });
    await page.mouse.up();
    await saysAt(page, 'outside the shown time');
    assert.deepEqual([...new Set(await page.locator('.legend dd').allTextContents())], ['–']);
    await page.close();
  });
});
