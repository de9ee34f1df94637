import assert from 'node:assert/strict';
import type { Page } from 'playwright-core';
import { startHarness, type ViewHarness } from '../harness/viewHarness.ts';

const good = ['good-build.strain.csv', 'good-build-2.strain.csv', 'good-build-3.strain.csv'];

describe('the comparison with good builds, in the view', () => {
  let harness: ViewHarness;
  let page: Page;
  const failures: string[] = [];
  before(async () => (harness = await startHarness()));
  after(async () => {
    await harness.close();
    assert.deepEqual(failures, []);
  });
  beforeEach(async () => {
    page = await harness.open({ log: 'release.strain.csv', width: 1300, height: 1400 });
    page.on('pageerror', (error) => failures.push(String(error)));
    await page.locator('.plot-box canvas').first().waitFor();
    await page.locator('.plate-map .cell').first().waitFor();
  });
  afterEach(() => page.close());

  const compare = () => page.evaluate((names) => window.harness.compareWith(names), good);

  it('is asked for by a button, and shows nothing before', async () => {
    assert.equal(await page.locator('.good-builds').isVisible(), false);
    await page.getByRole('button', { name: /^Good builds…/ }).click();
    await page.waitForFunction(() => window.harness.told.some(({ type }) => type === 'chooseGoodBuilds'));
  });

  it('shows its bands at once, before anything is clicked', async () => {
    await compare();
    await page.locator('.plot-box[data-group=components] .band-key').waitFor({ state: 'visible' });
  });

  it('leaves the plot of its bands away once it was put away, also after the page was hidden; not of a new one', async () => {
    const box = page.locator('.plot-box[data-group=components]');
    await compare();
    await box.waitFor({ state: 'visible' });
    await page.locator('.plots .choose summary').click();
    await page.locator('vscode-checkbox[aria-label="Strain components"]').click();
    await box.waitFor({ state: 'detached' });
    await page.waitForFunction(() => {
      const { groups, bandsShownOf } = window.harness.saved() as { groups: string[]; bandsShownOf: string };
      return bandsShownOf !== '' && !groups.includes('components');
    });
    await page.reload();
    await page.locator('.plate-map .cell').first().waitFor();
    await compare();
    await page.locator('.good-builds').waitFor({ state: 'visible' });
    assert.equal(await box.count(), 0);
    await page.getByRole('button', { name: /^Remove/ }).click();
    await page.locator('.good-builds').waitFor({ state: 'hidden' });
    await compare();
    await box.waitFor({ state: 'visible' });
  });

  it('lists what lies outside, farthest first, and leads there', async () => {
    const { outside } = await compare();
    assert.ok(outside.length > 0, 'the build whose bracket comes loose is none of the good ones');
    const said = await page.locator('.outside .how-far').allTextContents();
    const far = said.map((text) => Number.parseFloat(text));
    assert.deepEqual(
      far,
      [...far].sort((a, b) => b - a),
    );
    assert.ok(far.every((one) => one >= 1));
    const worst = outside[0]!;
    await page.locator('.outside').first().click();
    await page.waitForFunction(
      (line) => window.harness.told.some((notice) => notice.type === 'reveal' && notice.line === line),
      worst.worstLine,
    );
    const name = await page.evaluate((cell) => window.harness.summary().header!.cells[cell]!.name, worst.cell);
    assert.match((await page.locator('.plots h2').textContent())!, new RegExp(`^Cell ${name}\\b`));
    const key = page.locator('.plot-box[data-group=components] .band-key');
    await key.waitFor();
    assert.equal(await key.textContent(), 'band of 3 good builds (95 %)');
  });

  it('marks the cells outside on the map, and no other', async () => {
    const { outside } = await compare();
    await page.locator('.outside-mark').first().waitFor();
    const marked = await page
      .locator('.plate-map .cell:has(.outside-mark)')
      .evaluateAll((all) => all.map((one) => Number(one.getAttribute('data-cell'))));
    assert.deepEqual(marked.sort(), [...new Set(outside.map(({ cell }) => cell))].sort());
  });

  it('draws the band about the line, and takes all of it away again', async () => {
    const { outside } = await compare();
    await page.locator('.outside').first().click();
    await page.locator('.plot-box[data-group=components] .band-key').waitFor();
    assert.ok(outside.length > 0);
    await page.getByRole('button', { name: /^Remove/ }).click();
    await page.locator('.good-builds').waitFor({ state: 'hidden' });
    assert.equal(await page.locator('.outside-mark').count(), 0);
    assert.equal(await page.locator('.band-key:visible').count(), 0);
  });
});
