import assert from 'node:assert/strict';
import { startHarness, type ViewHarness } from '../harness/viewHarness.ts';

describe('the choice of quantities', () => {
  let harness: ViewHarness;
  before(async () => {
    harness = await startHarness();
  });
  after(() => harness.close());

  it('keeps the keyboard where it is while boxes are ticked', async () => {
    const page = await harness.open({ log: 'release.strain.csv', width: 1300, height: 1600 });
    await page.locator('.plots .choose summary').click();
    const box = (title: string) => page.locator(`.quantities vscode-checkbox[aria-label="${title}"]`);
    const stands = (title: string): Promise<unknown> =>
      page.waitForFunction((name) => document.activeElement?.getAttribute('aria-label') === name, title);
    await box('Strain components').focus();
    await page.keyboard.press('Space');
    await page.locator('.plot-box[data-group=components]').waitFor();
    await stands('Strain components');
    await page.keyboard.press('Tab');
    await stands('Largest shear');
    await page.keyboard.press('Space');
    await page.locator('.plot-box[data-group=shear]').waitFor();
    await page.keyboard.press('Space');
    await page.locator('.plot-box[data-group=shear]').waitFor({ state: 'detached' });
    assert.equal(await box('Largest shear').getAttribute('aria-checked'), 'false');
    assert.equal(await box('Strain components').getAttribute('aria-checked'), 'true');
    assert.equal(await box('Principal strains').getAttribute('aria-checked'), 'true');
    await page.close();
  });
});
