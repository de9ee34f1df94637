import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { clock } from '../../src/core/display/numberFormat.ts';
import { Pages, choose, nextTold, releaseLog, told } from './harness/openPages.ts';

/** Of the first plot's drawing area, the columns with any bluish pixel: the first line's. */
async function blueColumns(page: Page): Promise<boolean[]> {
  return page
    .locator('.plot-box canvas')
    .first()
    .evaluate((one) => {
      const canvas = one as HTMLCanvasElement;
      const { data, width, height } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
      const columns = new Array<boolean>(width).fill(false);
      for (let x = 64; x < width - 12; x++) {
        for (let y = 0; y < height - 40; y++) {
          const at = 4 * (y * width + x);
          if (data[at + 3]! > 60 && data[at + 2]! > data[at]! + 60) columns[x] = true;
        }
      }
      return columns.slice(64, width - 12);
    });
}

describe('what is missing, in the view', () => {
  const pages = new Pages();

  it('draws a log whose first readings are missing, and keeps gaps (null, not NaN, at the plotting library)', async () => {
    const text = readFileSync(`sample-logs/${releaseLog}`, 'utf8').split('\n');
    const first = text.findIndex((line) => /^[\d.]+,/.test(line));
    const names = text[first - 1]!.split(',');
    const blank = names.findIndex((name) => name === 'A1_up_45');
    const cut = text.map((line, index) => {
      const row = index - first;
      // Missing up to the datum window (60 s to 180 s), and then for 100 rows in every 500.
      if (row < 0 || line === '' || (row > 55 && row < 500) || (row > 500 && row % 500 > 100)) return line;
      const fields = line.split(',');
      fields[blank] = '';
      return fields.join(',');
    });
    pages.addLog('gaps.strain.csv', cut.join('\n'));
    const page = await pages.open({ log: 'gaps.strain.csv' });
    await page.locator('.plot-box canvas').first().waitFor();
    await page.locator('.plate-map [data-cell="0"]').click();
    // Event bands have colours of their own: without them only the lines are blue.
    await page.evaluate(() =>
      window.harness.tell({ type: 'summary', changes: { ...window.harness.summary(), events: [] } }),
    );
    await page.waitForTimeout(500);
    let drawn: boolean[] = [];
    for (let patience = 50; patience > 0 && !drawn.some(Boolean); patience--) {
      await page.waitForTimeout(200);
      drawn = await blueColumns(page);
    }
    const share = drawn.filter(Boolean).length / drawn.length;
    assert.ok(share > 0.5 && share < 0.9, `${share} of the columns are drawn`);
    assert.ok(!drawn.slice(0, 4).some(Boolean), 'nothing before the first reading');
    await page.close();
  });

  it('draws the readings of a cell whose directions give no tensor, and says so on the map', async () => {
    const rows = Array.from({ length: 400 }, (_, i) => `${i},${(20 + Math.sin(i / 9)).toFixed(2)}`);
    const head = [
      '%ECSV 1.0',
      '---',
      "delimiter: ','",
      'datatype:',
      '- {name: time, unit: s, datatype: float64}',
      '- {name: S1_0, unit: um/m, datatype: float64}',
      'meta:',
      '  strain_log: 1',
      '  plate: {size: [100 mm, 100 mm]}',
      '  cells: {S1: {at: [50 mm, 50 mm]}}',
      '  channels: {S1_0: {cell: S1, kind: strain, compensated: true, direction: 0 deg}}',
      '  datum: {from: 10 s, to: 100 s}',
      'schema: astropy-2.0',
    ];
    pages.addLog('one.strain.csv', [...head.map((line) => `# ${line}`), 'time,S1_0', ...rows, ''].join('\n'));
    const page = await pages.open({ log: 'one.strain.csv' });
    await page.locator('.plot-box', { hasText: 'S1_0' }).waitFor();
    await page.locator('.plate-map .cells .no-value').waitFor();
    await page.locator('.plate-map .legend', { hasText: 'no value' }).waitFor();
    await page.close();
  });

  it('says which cells are without a channel at the cursor, on the map and in the table, and until when', async () => {
    const page = await pages.open({ log: 'sick-sensor.strain.csv' });
    const goTo = async (timeS: number): Promise<void> => {
      await page.evaluate((at) => window.harness.tell({ type: 'cursor', timeS: at, toTimeS: at, line: 1 }), timeS);
      await page.locator('.map-caption', { hasText: clock(timeS, 1) }).waitFor();
    };
    const titleOf = (cell: number): Promise<string | null> =>
      page.locator(`.plate-map [data-cell="${cell}"] > title`).textContent();
    // By the scenario: A1_up_45 jumps in layer 15, B2_up_0 is stuck for 400 s from layer 26 on.
    await goTo(600);
    assert.doesNotMatch((await page.locator('.map-caption').textContent())!, /without/);
    await goTo(1200);
    assert.match((await titleOf(0))!, /; without A1_up_45 from layer 15: jump$/);
    assert.match((await titleOf(4))!, /; without B2_up_0 from layer 26 until 0:24:28: reading stuck$/);
    assert.match((await page.locator('.map-caption').textContent())!, /A1 without A1_up_45 .*\. B2 without B2_up_0/);
    assert.equal(await page.locator('.plate-map .cell-name').first().textContent(), 'A1 −1');
    await page.getByRole('button', { name: /^Table/ }).click();
    const said = page.locator('.plate-table tr.sick');
    const first = 'A1 without A1_up_45 from layer 15: jump';
    const second = 'B2 without B2_up_0 from layer 26 until 0:24:28: reading stuck';
    assert.deepEqual(await said.allTextContents(), [first, second]);
    await goTo(1600);
    assert.deepEqual(await said.allTextContents(), [first]);
    await goTo(600);
    assert.deepEqual(await said.allTextContents(), []);
    await page.close();
  });

  it('says over a plot which channel its cells are without in the shown window, and in its picture', async () => {
    const page = await pages.open({ log: 'sick-sensor.strain.csv' });
    const said = page.locator('.plot-box[data-group="principal"] .sick-key');
    await choose(page, 'Cell', 'A1');
    await said.filter({ hasText: /^A1 without A1_up_45 from layer 15: jump$/ }).waitFor();
    await choose(page, 'Compare with', 'B2');
    const both =
      'A1 without A1_up_45 from layer 15: jump. B2 without B2_up_0 from layer 26 until 0:24:28: reading stuck';
    await said.filter({ hasText: both }).waitFor();
    const before = (await told(page, 'save')).length;
    await page.locator('.plots').getByRole('button', { name: /^SVG/ }).click();
    await nextTold(page, 'save', before);
    const picture = await page.evaluate(() => {
      const saved = window.harness.told.findLast((notice) => notice.type === 'save');
      return saved?.type === 'save' ? new TextDecoder().decode(saved.bytes) : '';
    });
    assert.ok(picture.includes(`>${both}<`));
    await choose(page, 'Cell', 'C2');
    await choose(page, 'Compare with', 'no other cell');
    await said.waitFor({ state: 'hidden' });
    await page.close();
  });
});
