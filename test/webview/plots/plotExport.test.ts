import assert from 'node:assert/strict';
import { Pages, nextTold, releaseLog, timesByLine, told } from '../harness/openPages.ts';

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
});
