import assert from 'node:assert/strict';
import { Pages, choose, nextTold, releaseLog, timesByLine, told } from '../harness/openPages.ts';

describe('what the plots hand out', () => {
  const pages = new Pages();

  it('exports the shown window: rows as CSV, pictures as SVG and PNG, code for pandas', async () => {
    const page = await pages.openRelease();
    await page.getByRole('button', { name: /^Around it/ }).click();
    const bytesOf = async (name: RegExp): Promise<Uint8Array> => {
      const before = (await told(page, 'save')).length;
      await page.locator('.plots').getByRole('button', { name }).click();
      await nextTold(page, 'save', before);
      return Uint8Array.from(
        await page.evaluate(() => {
          const saved = window.harness.told.findLast((notice) => notice.type === 'save');
          return saved?.type === 'save' ? [...saved.bytes] : [];
        }),
      );
    };
    const csv = new TextDecoder()
      .decode(await bytesOf(/^CSV/))
      .trim()
      .split('\r\n');
    const rowTimes = csv.slice(1).map((line) => Number(line.split(',')[0]));
    const { fromS, toS } = await page.evaluate(() => {
      const chosen = document.querySelector('.event-list [aria-selected=true]')!.getAttribute('data-event');
      const event = window.harness.summary().events.find(({ id }) => id === chosen);
      const end = Number.isFinite(event!.endTimeS) ? event!.endTimeS : event!.detectedTimeS;
      const room = Math.max(30, 10 * (end - event!.timeS));
      return { fromS: event!.timeS - room, toS: Math.max(end, event!.timeS) + room };
    });
    const expected = [...timesByLine(releaseLog).values()].filter((time) => time >= fromS && time <= toS);
    assert.deepEqual(rowTimes, expected);
    const picture = new TextDecoder().decode(await bytesOf(/^SVG/));
    assert.match(picture, /^<svg xmlns/);
    assert.doesNotMatch(picture, /NaN/);
    assert.deepEqual([...(await bytesOf(/^PNG/)).slice(0, 8)], [137, 80, 78, 71, 13, 10, 26, 10]);
    await page.getByRole('button', { name: /^pandas code/ }).click();
    assert.match((await nextTold(page, 'copy', 0)).text, /import pandas as pd/);
    await page.close();
  });

  it('shows forces of the plate in kN/m, on plots and map, and saves them in N/m, as derive writes them', async () => {
    const page = await pages.open({ log: 'two-planes.strain.csv', width: 1300, height: 1600 });
    await page.locator('.plots .choose summary').click();
    await page.locator('.quantities vscode-checkbox[aria-label="Membrane forces"]').click();
    const box = page.locator('.plot-box[data-group=forces]');
    await box.waitFor();
    assert.equal(await box.locator('h3').textContent(), 'Membrane forces, kN/m');
    await page.getByRole('button', { name: /^Around it/ }).click();
    const reading = box.locator('.legend dd').first();
    await page.waitForFunction(() =>
      /^−?[\d.]+ kN\/m$/.test(document.querySelector('[data-group=forces] dd')!.textContent!),
    );
    const shown = Number((await reading.textContent())!.replace('−', '-').split(' ')[0]);
    await page.locator('.plots').getByRole('button', { name: /^CSV/ }).click();
    const { bytes } = await nextTold(page, 'save', 0).then(() =>
      page.evaluate(() => {
        const saved = window.harness.told.findLast((notice) => notice.type === 'save');
        return { bytes: saved?.type === 'save' ? [...saved.bytes] : [] };
      }),
    );
    const [names, ...rows] = new TextDecoder().decode(Uint8Array.from(bytes)).trim().split('\r\n');
    const column = names!.split(',').findIndex((name) => /_nx \[N\/m\]$/.test(name));
    assert.ok(column > 0, names);
    const timeS = Number(await page.evaluate(() => window.harness.summary().events[0]!.timeS));
    const saved = Number(rows.map((row) => row.split(',')).find(([time]) => Number(time) === timeS)![column]);
    assert.ok(
      Math.abs(saved) > 1000 && Math.abs(saved / 1000 - shown) <= 0.005 * Math.abs(shown),
      `${saved}, ${shown}`,
    );
    await choose(page, 'Crosses', 'membrane forces');
    await page.locator('.plate-map .legend-text', { hasText: /^tension [125]0* kN\/m$/ }).waitFor();
    await page.close();
  });
});
