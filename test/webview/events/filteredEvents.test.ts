import assert from 'node:assert/strict';
import type { Page } from 'playwright-core';
import { startHarness, type ViewHarness } from '../harness/viewHarness.ts';

describe('events that the filter hides', () => {
  let harness: ViewHarness;
  let page: Page;
  const choose = async (label: string, option: string): Promise<void> => {
    await page.locator(`vscode-dropdown[aria-label="${label}"]:visible`).first().click();
    await page.getByRole('option', { name: option, exact: true }).locator('visible=true').first().click();
  };
  const chosen = (): Promise<string[]> =>
    page
      .locator('.event-list [aria-selected=true]')
      .evaluateAll((all) => all.map((one) => one.getAttribute('data-event') ?? ''));
  const kinds = (): Promise<string[]> => page.locator('.event-list .kind').allTextContents();

  before(async () => {
    harness = await startHarness();
  });
  after(() => harness.close());
  beforeEach(async () => {
    // By its scenario: A1_up_45 jumps, then B2_up_0 is stuck.
    page = await harness.open({ log: 'sick-sensor.strain.csv', width: 1300 });
    await page.locator('.event-list .kind', { hasText: 'jump' }).first().click();
    await page.locator('.events details summary').click();
    await choose('Kind', 'stuck');
    await page.waitForFunction(() => document.querySelectorAll('.event-list li').length === 1);
  });
  afterEach(() => page.close());

  it('are not open in full, nor named to who hears the list', async () => {
    assert.equal(await page.locator('.event-detail').isVisible(), false);
    assert.equal(await page.locator('.event-list').getAttribute('aria-activedescendant'), '');
    assert.match((await page.locator('.empty-list').textContent())!, /hidden by the filter/);
  });

  it('are passed over by the buttons of the timeline', async () => {
    const next = page.getByRole('button', { name: /^event ›/ });
    const before = page.getByRole('button', { name: /^‹ event/ });
    await next.click();
    const [stuck] = await chosen();
    assert.match((await page.locator(`[data-event="${stuck}"] .kind`).first().textContent())!, /^stuck/);
    await before.click();
    assert.deepEqual(await chosen(), [stuck], 'none before it is listed');
    assert.deepEqual(await kinds(), ['stuck']);
    const active = (await page.locator('.event-list').getAttribute('aria-activedescendant'))!;
    assert.equal(await page.locator(`[id="${active}"]`).count(), 1);
  });

  it('are listed again when one of them is asked for', async () => {
    const jump = await page.evaluate(() => window.harness.summary().events.find(({ kind }) => kind === 'jump')!.id);
    await page.evaluate((id) => window.harness.tell({ type: 'showEvent', id }), jump);
    await page.locator(`.event-list [data-event="${jump}"][aria-selected=true]`).waitFor();
    assert.ok(await page.locator('.event-detail').isVisible());
  });
});
