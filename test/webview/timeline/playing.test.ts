import assert from 'node:assert/strict';
import { Pages } from '../harness/openPages.ts';

describe('playing a build', () => {
  const pages = new Pages();

  it('plays the build: the cursor runs to the end', async () => {
    const page = await pages.openRelease();
    const { endS } = await page.evaluate(() => window.harness.summary());
    await page.evaluate((at) => window.harness.tell({ type: 'cursor', timeS: at, toTimeS: at, line: 1 }), endS * 0.97);
    await page.getByRole('button', { name: 'Play the build' }).click();
    await page.getByRole('button', { name: 'Pause' }).waitFor();
    await page.waitForFunction(() => document.querySelector<HTMLInputElement>('input[type=range]')!.value === '10000');
    await page.getByRole('button', { name: 'Play the build' }).waitFor();
    await page.close();
  });

  it('moves from layer to layer instead of gliding where motion is to be reduced', async () => {
    const page = await pages.openRelease({ reducedMotion: true });
    await page.evaluate(() => window.harness.tell({ type: 'cursor', timeS: 300, toTimeS: 300, line: 1 }));
    await page.getByRole('button', { name: 'Play the build' }).click();
    const places: number[] = [];
    while (places.length < 3) {
      const place = Number(await page.locator('input[type=range]').inputValue());
      if (place !== places.at(-1)) places.push(place);
    }
    const { endS } = await page.evaluate(() => window.harness.summary());
    // A layer of this log takes more than half a minute; a glide would move by a small part of that at every frame.
    for (const [i, place] of places.slice(2).entries()) assert.ok(((place - places[i + 1]!) / 10_000) * endS > 20);
    await page.close();
  });
});
