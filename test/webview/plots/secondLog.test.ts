import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { themeNames, themeVariables } from '../harness/editorThemes.ts';
import { startHarness, type ViewHarness } from '../harness/viewHarness.ts';

const release = readFileSync('sample-logs/release.strain.csv', 'utf8');

describe('what is said of a second log', () => {
  let harness: ViewHarness;
  let page: Page;
  const note = (text: string | RegExp): Promise<void> =>
    page.locator('.plots .plot-note').filter({ hasText: text }).waitFor({ state: 'attached' });
  const choose = async (label: string, option: string): Promise<void> => {
    await page.locator(`vscode-dropdown[aria-label="${label}"]:visible`).first().click();
    await page.getByRole('option', { name: option, exact: true }).locator('visible=true').first().click();
  };
  const second = (name: string): Promise<void> => page.evaluate((log) => window.harness.openReference(log), name);

  before(async () => {
    harness = await startHarness();
    // The same rows, whose layer is told by no column; and the same with the cell of another name.
    harness.addLog('nolayer.strain.csv', release.replace(/\blayer(?=[,}])/g, 'counter'));
    const rowsAt = release.search(/^[\d.]+,/m);
    harness.addLog('norows.strain.csv', release.slice(0, rowsAt));
    harness.addLog('faulty.strain.csv', release.replace('size: [250 mm, 250 mm]', 'size: [250, 250]'));
    harness.addLog('renamed.strain.csv', release.replace(/\bA1\b/g, 'Q7').replace(/\bA1_/g, 'Q7_'));
  });
  after(() => harness.close());
  beforeEach(async () => {
    page = await harness.open({ log: 'release.strain.csv', width: 1300 });
    await page.locator('.plot-box canvas').first().waitFor();
    await choose('Cell', 'A1');
  });
  afterEach(() => page.close());

  it('names the cell that it has not', async () => {
    await second('renamed.strain.csv');
    await note('renamed.strain.csv has no cell A1.');
    await choose('Cell', 'B1');
    await note(/^$/);
    await page.locator('.plots .second-log').first().waitFor();
  });

  it('tells that it cannot be aligned by layer', async () => {
    await second('nolayer.strain.csv');
    await page.locator('.plots .second-log').first().waitFor();
    assert.equal(await page.locator('.plots .plot-note').textContent(), '');
    await choose('Align by', 'layer');
    await note(/nolayer\.strain\.csv shares fewer than two layers with this log/);
    await choose('Align by', 'time since start');
    await note(/^$/);
  });

  it('tells why nothing of it is drawn, and not how it would be aligned', async () => {
    for (const [name, why] of [
      ['norows.strain.csv', 'norows.strain.csv has no rows.'],
      [
        'faulty.strain.csv',
        'faulty.strain.csv was not analysed: its header has errors, which are told where it is open.',
      ],
    ] as const) {
      await second(name);
      await choose('Align by', 'layer');
      await note(why);
      assert.equal(await page.locator('.plots .plot-note').textContent(), why);
      assert.equal(await page.locator('.plots .second-log').count(), 0);
    }
  });

  it('tells that it is gone, and draws what had been read of it', async () => {
    await second('good-build.strain.csv');
    await page.locator('.plots .second-log').first().waitFor();
    await page.evaluate(() =>
      window.harness.tell({ type: 'reference', changes: { gone: true, failure: 'it was deleted' } }),
    );
    await note('good-build.strain.csv is not there any more: what had been read of it is drawn.');
    assert.ok(await page.locator('.plots .second-log').first().isVisible());
  });

  it('is seen in every theme: its line stands out from the ground', async () => {
    for (const theme of themeNames) {
      const themed = await harness.open({ log: 'release.strain.csv', width: 1300, theme });
      await themed.evaluate(() => window.harness.openReference('good-build.strain.csv'));
      const sample = themed.locator('.plots .second-log .sample path').first();
      await sample.waitFor({ state: 'attached' });
      const line = (await sample.getAttribute('stroke'))!;
      const ground = themeVariables(theme)['--vscode-editor-background']!;
      assert.ok(contrast(line, ground) >= 3, `${theme}: ${line} on ${ground}: ${contrast(line, ground)}`);
      await themed.close();
    }
  });

  it('is nothing where both are alike', async () => {
    await second('good-build.strain.csv');
    await choose('Align by', 'layer');
    await page.locator('.plots .second-log').first().waitFor();
    assert.equal(await page.locator('.plots .plot-note').textContent(), '');
  });
});

/** Ratio of contrast of two colours '#rrggbb', as WCAG 2 defines it. */
function contrast(a: string, b: string): number {
  const light = (colour: string): number => {
    assert.match(colour, /^#[\da-f]{6}$/, 'a colour that nothing shines through');
    const [red, green, blue] = [1, 3, 5].map((at) => {
      const part = parseInt(colour.slice(at, at + 2), 16) / 255;
      return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * red! + 0.7152 * green! + 0.0722 * blue! + 0.05;
  };
  const [more, less] = [light(a), light(b)].sort((x, y) => y - x);
  return more! / less!;
}
