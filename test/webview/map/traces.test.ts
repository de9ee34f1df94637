import assert from 'node:assert/strict';
import { startHarness, type ViewHarness } from '../harness/viewHarness.ts';

describe('the traces of all cells', () => {
  let harness: ViewHarness;
  before(async () => {
    harness = await startHarness();
  });
  after(() => harness.close());

  it('are of one height, whichever the event concerns, and show names as whole as they fit', async () => {
    const page = await harness.open({ log: 'release.strain.csv', width: 700 });
    await page.getByRole('button', { name: /^Traces/ }).click();
    await page.locator('.trace.concerned').first().waitFor();
    // As narrow as among many cells, with names as these have.
    await page.evaluate(() => {
      for (const trace of document.querySelectorAll<HTMLElement>('.trace')) trace.style.width = '24px';
      for (const name of document.querySelectorAll('.trace-name')) name.textContent = 'M10';
    });
    const captions = await page.locator('.trace figcaption').evaluateAll((all) =>
      all.map((one) => ({
        height: one.getBoundingClientRect().height,
        cut: [...one.children].some((name) => name.scrollWidth > name.clientWidth),
      })),
    );
    assert.equal(new Set(captions.map(({ height }) => height)).size, 1);
    assert.ok(captions.every(({ cut }) => !cut));
    await page.close();
  });
});
