import assert from 'node:assert/strict';
import type { Page } from 'playwright-core';
import { startHarness, type ViewHarness } from '../harness/viewHarness.ts';

describe('the table of what an event changed', () => {
  let harness: ViewHarness;
  let page: Page;
  before(async () => {
    harness = await startHarness();
    page = await harness.open({ log: 'two-planes.strain.csv', width: 1500 });
    await page.locator('.change-table').waitFor();
  });
  after(() => harness.close());

  const chosen = (): Promise<string> =>
    page.evaluate(() => (document.activeElement instanceof HTMLElement ? document.activeElement.innerText : ''));

  it('tells the planes of a cell apart by the names of its links', async () => {
    const names = await page.locator('.change-table .link').allTextContents();
    const { events, header } = await page.evaluate(() => window.harness.summary());
    const id = await page.locator('.event-list [aria-selected=true]').getAttribute('data-event');
    const { cells } = events.find((event) => event.id === id)!;
    assert.ok(new Set(cells.map(({ cell }) => cell)).size < cells.length, 'a cell stands in two rows');
    assert.equal(new Set(names).size, cells.length);
    const { cell, plane } = cells[0]!;
    assert.equal(names[0], `${header!.cells[cell]!.name} ${header!.planes[plane]!.name}`);
  });

  it('is one stop of the Tab key, and is walked by arrows', async () => {
    const links = page.locator('.change-table .link');
    const names = await links.allTextContents();
    await links.first().focus();
    await page.keyboard.press('ArrowDown');
    assert.equal(await chosen(), names[1]);
    await page.keyboard.press('End');
    assert.equal(await chosen(), names.at(-1));
    await page.keyboard.press('ArrowUp');
    assert.equal(await chosen(), names.at(-2));
    const inTable = (): Promise<boolean> => page.evaluate(() => document.activeElement!.closest('table') !== null);
    await page.keyboard.press('Tab');
    assert.equal(await inTable(), false);
    await page.keyboard.press('Shift+Tab');
    assert.equal(await chosen(), names.at(-2), 'comes back to where it was');
    await page.keyboard.press('Shift+Tab');
    assert.equal(await page.evaluate(() => document.activeElement!.closest('.table-scroll') !== null), false);
  });

  it('breaks no word of its heads', async () => {
    for (const width of [1500, 1250, 700, 360]) {
      await page.setViewportSize({ width, height: 1000 });
      const cut = await page.locator('.change-table thead th').evaluateAll(
        (all) =>
          all.filter((one) => {
            const words = document.createRange();
            words.selectNodeContents(one);
            return words.getClientRects().length > one.textContent.split(' ').length;
          }).length,
      );
      assert.equal(cut, 0, `${width} px`);
    }
  });
});

describe('the list of events', () => {
  it('names the channel where it is that which is sick, not its cell', async () => {
    const harness = await startHarness();
    const sick = await harness.open({ log: 'sick-sensor.strain.csv', width: 1300 });
    const place = (kind: string): Promise<string | null> =>
      sick
        .locator('.event-list li', { has: sick.locator('.kind', { hasText: kind }) })
        .first()
        .locator('.place')
        .textContent();
    // By its scenario: A1_up_45 jumps, B2_up_0 is stuck.
    assert.equal(await place('jump'), 'A1_up_45');
    assert.equal(await place('stuck'), 'B2_up_0');
    await harness.close();
  });
});
