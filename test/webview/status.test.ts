import assert from 'node:assert/strict';
import type { Page } from 'playwright-core';
import type { LogSummary } from '../../src/messages/analysis.ts';
import { startHarness, type ViewHarness } from './harness/viewHarness.ts';

describe('the head of the page', () => {
  let harness: ViewHarness;
  let page: Page;
  const tell = (changes: Partial<LogSummary>): Promise<void> =>
    page.evaluate((told) => window.harness.tell({ type: 'summary', changes: told }), changes);
  const state = (text: string): Promise<void> => page.locator('.state-text', { hasText: text }).waitFor();

  before(async () => {
    harness = await startHarness();
    page = await harness.open({ log: 'release.strain.csv' });
  });
  after(() => harness.close());

  it('does not call a log that is gone read to the end, and says so in a sentence that is seen', async () => {
    for (const rows of [700, 0]) {
      await tell({ gone: true, failure: 'the log is not there any more', rows });
      await state('not there any more');
      const caution = page.locator('.headline .caution', { hasText: 'not there any more' });
      assert.equal(await caution.textContent(), 'The log is not there any more.');
    }
    await tell({ gone: false, failure: '', rows: 700 });
    await state('read to the end');
    assert.equal(await page.locator('.headline .caution', { hasText: 'not there any more' }).count(), 0);
  });

  it('tells lesser trouble beside, as a sentence', async () => {
    await tell({ failure: 'no index kept: the disk is full' });
    const note = page.locator('.limits', { hasText: 'index' });
    await note.waitFor();
    assert.equal(await note.textContent(), 'No index kept: the disk is full.');
    await state('read to the end');
  });
});
