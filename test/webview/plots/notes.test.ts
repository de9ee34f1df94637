import assert from 'node:assert/strict';
import { startHarness, type ViewHarness } from '../harness/viewHarness.ts';

describe('what is said over a plot', () => {
  let harness: ViewHarness;
  before(async () => {
    harness = await startHarness();
  });
  after(() => harness.close());

  it('where the axis of margins ends, and what the detector does not tell', async () => {
    const page = await harness.open({ log: 'release.strain.csv', width: 1300, height: 1600 });
    await page.locator('.plots .choose summary').click();
    for (const title of ['Margin to yield', 'Detector: statistic and threshold']) {
      await page.locator(`vscode-checkbox[aria-label="${title}"]`).click();
    }
    const note = (group: string) => page.locator(`.plot-box[data-group=${group}] .sick-key`);
    await note('margin')
      .filter({ hasText: /larger ones run out at the top/ })
      .waitFor();
    await note('statistic')
      .filter({ hasText: /first 4 layers only teach/ })
      .waitFor();
    assert.equal(await note('principal').isVisible(), false);
    await page.close();
  });
});
