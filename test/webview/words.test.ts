import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import type { LogSummary } from '../../src/messages/analysis.ts';
import { startHarness, type ViewHarness } from './harness/viewHarness.ts';

const sample = readFileSync('sample-logs/release.strain.csv', 'utf8').split('\n');
const firstRow = sample.findIndex((line) => /^[\d.]+,/.test(line));

/** The first `rows` rows of the sample, the header changed by `edit`. */
function shortLog(rows: number, edit = (line: string): string => line): string {
  return [...sample.slice(0, firstRow).map(edit), ...sample.slice(firstRow, firstRow + rows), ''].join('\n');
}

/** The sample without its thermometers. */
function withoutTemperature(): string {
  const kept = sample[firstRow - 1]!.split(',').flatMap((name, at) => (name.endsWith('_T') ? [] : [at]));
  const header = sample.slice(0, firstRow - 1).filter((line) => !/^# +(- \{name: )?\w+_T[,:]/.test(line));
  const rows = sample.slice(firstRow - 1).filter((line) => line !== '');
  return [...header, ...rows.map((line) => kept.map((at) => line.split(',')[at]).join(',')), ''].join('\n');
}

describe('what the page says', () => {
  let harness: ViewHarness;
  const text = (page: Page, of: string): Promise<string> => page.locator(of).innerText();

  before(async () => {
    harness = await startHarness();
    harness.addLog('none.strain.csv', shortLog(0));
    harness.addLog('short.strain.csv', shortLog(20));
    harness.addLog('one-row.strain.csv', shortLog(1));
    harness.addLog('cold.strain.csv', withoutTemperature());
    const faulty = (line: string): string => line.replace('size: [250 mm, 250 mm]', 'size: [250, 250]');
    harness.addLog('faulty.strain.csv', shortLog(2000, faulty));
  });
  after(() => harness.close());

  it('a log of which nothing was judged: that, and why; never that nothing was found', async () => {
    for (const [log, why] of [
      ['none.strain.csv', /no rows/],
      ['short.strain.csv', /too short to judge/i],
    ] as const) {
      const page = await harness.open({ log });
      const said = `${await text(page, '.status')} ${await text(page, '.events')}`;
      assert.match(said, why);
      assert.doesNotMatch(said, /no change|no lasting|nothing found|0 events/i, log);
      await page.close();
    }
  });

  it('a log of which reading was stopped: what was found so far, and nothing of its length or its end', async () => {
    const page = await harness.open({ log: 'short.strain.csv' });
    const tell = (changes: Partial<LogSummary>) =>
      page.evaluate((now) => window.harness.tell({ type: 'summary', changes: now }), changes);
    await tell({ state: 'stopped', progress: 0.3 });
    await page.locator('.state-text', { hasText: 'stopped' }).waitFor();
    assert.match(await text(page, '.headline'), /no lasting mechanical change so far/i);
    assert.match(await text(page, '.events'), /0 events so far.*no change found so far/is);
    // Stopped while only sampled rows were known: they stay drawn, and nobody counted the rows.
    await tell({ state: 'stopped', rows: 0 });
    await page.waitForFunction(() => document.querySelector('.headline')?.textContent === '');
    assert.ok(await page.locator('.plots').isVisible());
    assert.doesNotMatch(await text(page, '.status'), /no rows|0 rows/);
    await tell({ state: 'complete' });
    await page.locator('.headline', { hasText: 'no rows' }).waitFor();
    await page.close();
  });

  it('a log without rows: no plots, whose axes would be made up', async () => {
    const page = await harness.open({ log: 'none.strain.csv' });
    assert.equal(await page.locator('.plots').isVisible(), false);
    await page.close();
  });

  it('a log with a faulty header: that it was not analysed, and no count of its rows', async () => {
    const page = await harness.open({ log: 'faulty.strain.csv' });
    const said = await text(page, '.status');
    assert.match(said, /not analysed/);
    assert.doesNotMatch(said, /0 rows|read to the end/);
    await page.close();
  });

  it('counts one as one', async () => {
    const page = await harness.open({ log: 'one-row.strain.csv' });
    assert.match(await text(page, '.facts-line'), /\b1 row\b/);
    await page.close();
  });

  it('channels beyond those that an entry names: how many', async () => {
    const page = await harness.open({ log: 'release.strain.csv' });
    const events = await page.evaluate(() => {
      const [first] = window.harness.summary().events;
      return [
        {
          ...first!,
          kind: 'dropout' as const,
          nature: 'sensor' as const,
          cells: [],
          channels: [1, 2, 3, 5, 6],
          part: '',
        },
      ];
    });
    await page.evaluate(
      (changed) => window.harness.tell({ type: 'summary', changes: { ...window.harness.summary(), events: changed } }),
      events,
    );
    await page.locator('.event-list .kind', { hasText: 'dropout' }).waitFor();
    assert.match(await text(page, '.event-list .place'), /^A1_up_0 A1_up_45 A1_up_90 \+2$/);
    await page.close();
  });

  it('a log without temperature: above the drawings, that heat was not taken out', async () => {
    const page = await harness.open({ log: 'cold.strain.csv' });
    assert.match(await page.locator('.caution').first().innerText(), /Temperature was not taken out of any cell/);
    assert.match(await page.locator('.caution').last().innerText(), /µm\/m/);
    const caution = (await page.locator('.caution').first().boundingBox())!;
    const plate = (await page.locator('section.plate').boundingBox())!;
    assert.ok(caution.y < plate.y);
    await page.close();
  });
});
