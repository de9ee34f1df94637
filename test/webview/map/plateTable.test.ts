import assert from 'node:assert/strict';
import { startHarness, type ViewHarness } from '../harness/viewHarness.ts';

describe('the plate as a table', () => {
  let harness: ViewHarness;
  before(async () => {
    harness = await startHarness();
  });
  after(() => harness.close());

  it('shows every column with its unit, however narrow the page', async () => {
    const page = await harness.open({ log: 'two-planes.strain.csv', width: 1300 });
    await page.getByRole('button', { name: /^Table/ }).click();
    await page.locator('.plate-table tbody tr').first().waitFor();
    const heads = await page.locator('.plate-table thead th').allTextContents();
    for (const unit of [/^e1.*µm\/m/, /^e2.*µm\/m/, /Von Mises.*MPa/, /ΔT.*K/])
      assert.ok(
        heads.some((head) => unit.test(head)),
        `${String(unit)} in ${heads.join()}`,
      );
    for (const width of [1300, 870, 440, 360]) {
      await page.setViewportSize({ width, height: 1000 });
      const [inner, room] = await page
        .locator('.table-host')
        .evaluate((one) => [one.scrollWidth, one.clientWidth] as const);
      assert.ok(inner! <= room!, `${width} px: ${inner} px of table in ${room} px`);
    }
    await page.close();
  });

  it('offers no choice of a plane, having all, and no picture, being none', async () => {
    const page = await harness.open({ log: 'two-planes.strain.csv', width: 1300 });
    await page.locator('.plate-map .cell').first().waitFor();
    const plane = page.locator('.plate vscode-dropdown[aria-label="Plane"]');
    const pictures = page.locator('.plate').getByRole('button', { name: /^(SVG|PNG)/ });
    for (const [view, planes, saved] of [
      ['Map', true, 2],
      ['Traces', true, 0],
      ['Table', false, 0],
    ] as const) {
      await page.getByRole('button', { name: new RegExp(`^${view}`) }).click();
      assert.equal(await plane.isVisible(), planes, view);
      assert.equal(await pictures.count(), saved, view);
    }
    await page.close();
  });
});
