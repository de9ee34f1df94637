import assert from 'node:assert/strict';
import type { Page } from 'playwright-core';
import { startHarness, type ViewHarness } from './harness/viewHarness.ts';

describe('who goes through the page by keyboard', () => {
  let harness: ViewHarness;
  let page: Page;
  /** Name of the control that the keyboard is on, and its cell where it stands for one. */
  const standing = (): Promise<string> =>
    page.evaluate(() => {
      const one = document.activeElement!;
      return one === document.body ? '' : (one.getAttribute('aria-label') ?? one.textContent!);
    });
  const settled = (): Promise<void> => page.waitForTimeout(300);

  before(async () => {
    harness = await startHarness();
  });
  after(() => harness.close());
  beforeEach(async () => {
    page = await harness.open({ log: 'two-planes.strain.csv', width: 1300 });
    await page.locator('.plate-map .cell').first().waitFor();
  });
  afterEach(() => page.close());

  it('stays on the button that shows the plate before and after an event', async () => {
    for (const name of ['Before', 'After', 'Difference']) {
      await page.getByRole('button', { name: new RegExp(`^${name}`) }).focus();
      await page.keyboard.press('Enter');
      await page.locator(`vscode-button[aria-label^="${name}"][aria-pressed=true]`).waitFor();
      await settled();
      assert.ok((await standing()).startsWith(name), `${await standing()} for ${name}`);
    }
  });

  it("stops once at the plate's table, at the chosen cell, and stays there as it chooses cells", async () => {
    await page.getByRole('button', { name: /^Table/ }).click();
    await page.locator('.plate-table tbody tr').first().waitFor();
    assert.equal(await page.locator('.plate-table .link[tabindex="0"]').count(), 1);
    await page.locator('.plate-table tr[aria-current] .link').focus();
    const first = await standing();
    for (let rows = 0; rows < 2; rows++) await page.keyboard.press('ArrowDown'); // two planes
    const next = await standing();
    assert.notEqual(next, first);
    await page.keyboard.press('Enter');
    await page.locator('.plate-table tr[aria-current]', { hasText: next }).waitFor();
    await settled();
    assert.equal(await standing(), next);
    assert.equal(await page.locator('.plate-table .link[tabindex="0"]').count(), 1);
  });

  it('stops once at the traces, and goes by arrows as the cells lie on the plate', async () => {
    await page.getByRole('button', { name: /^Traces/ }).click();
    await page.locator('.trace.chosen').waitFor();
    assert.equal(await page.locator('.trace-name[tabindex="0"]').count(), 1);
    await page.locator('.trace-name[tabindex="0"]').focus();
    assert.equal(await standing(), 'C2');
    for (const [key, cell] of [
      ['ArrowLeft', 'B2'],
      ['ArrowUp', 'B3'],
      ['ArrowRight', 'C3'],
      ['ArrowRight', 'C3'],
      ['ArrowDown', 'C2'],
    ] as const) {
      await page.keyboard.press(key);
      await settled();
      assert.equal(await standing(), cell, key);
      assert.equal(await page.locator('.trace.chosen .trace-name').textContent(), cell);
    }
  });
});
