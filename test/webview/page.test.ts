import assert from 'node:assert/strict';
import { Pages, choose, nextTold, releaseLog, timesByLine, told } from './harness/openPages.ts';

describe('the page', () => {
  const pages = new Pages();

  it('answers at first sight: the gravest event in words, chosen in the list, its cells and origin on the map', async () => {
    const page = await pages.openRelease();
    const event = await page.evaluate(
      () =>
        window.harness.summary().events.find(({ severity }) => severity === 'error') ??
        window.harness.summary().events.find(({ severity }) => severity === 'warning'),
    );
    assert.ok(event, 'the sample log holds an event');
    assert.equal(await page.locator('.gravest b').textContent(), event.message);
    assert.equal(await page.locator('.event-list [aria-selected=true]').getAttribute('data-event'), event.id);
    const marked = await page
      .locator('.plate-map .concerned')
      .evaluateAll((all) => all.map((one) => one.getAttribute('data-cell')));
    assert.deepEqual(marked.map(Number).sort(), [...new Set(event.cells.map(({ cell }) => cell))].sort());
    const texts = await page.locator('.evidence li').allTextContents();
    assert.deepEqual(
      texts,
      event.evidence.map(({ text }) => text),
    );
    assert.equal((await told(page, 'reveal')).length, 0, 'nothing moves in the text unasked');
    await page.close();
  });

  it('leads from an event to its line', async () => {
    const page = await pages.openRelease();
    const events = await page.evaluate(() => window.harness.summary().events);
    for (const event of events) {
      const before = (await told(page, 'reveal')).length;
      await page.locator(`.event-list [data-event="${event.id}"]`).click();
      assert.equal((await nextTold(page, 'reveal', before)).line, event.line);
    }
    await page.close();
  });

  it('leads from a place in a plot to the line of that time', async () => {
    const page = await pages.openRelease({ height: 2000 });
    const times = timesByLine(releaseLog);
    const { startS, endS } = await page.evaluate(() => window.harness.summary());
    const box = (await page.locator('.plot-box .u-over').first().boundingBox())!;
    for (const share of [0.1, 0.5, 0.83]) {
      const before = (await told(page, 'reveal')).length;
      await page.mouse.click(box.x + box.width * share, box.y + box.height / 2);
      const { line } = await nextTold(page, 'reveal', before);
      const wanted = startS + (endS - startS) * share;
      const perPixel = (endS - startS) / box.width;
      assert.ok(Math.abs(times.get(line)! - wanted) <= perPixel + 1.5, `line ${line} for ${wanted} s`);
    }
    await page.close();
  });

  it('follows the text: cursor, read-out and map stand at the line', async () => {
    const page = await pages.openRelease();
    const times = timesByLine(releaseLog);
    const [line, timeS] = [...times][Math.floor(times.size * 0.7)]!;
    await page.evaluate(([at, of]) => window.harness.tell({ type: 'cursor', timeS: at, toTimeS: at, line: of }), [
      timeS,
      line,
    ] as const);
    await page.locator('.map-caption', { hasText: `line ${line}` }).waitFor();
    const { startS, endS } = await page.evaluate(() => window.harness.summary());
    const slider = Number(await page.locator('input[type=range]').inputValue()) / 10000;
    assert.ok(Math.abs(slider - (timeS - startS) / (endS - startS)) < 1e-3);
    await page.close();
  });

  it('chooses a cell on the map, in the traces and in the table', async () => {
    const page = await pages.openRelease();
    await page.locator('.plate-map [data-cell="4"]').click();
    await page.locator('.plots h2', { hasText: 'Cell B2' }).waitFor();
    await page.getByRole('button', { name: /^Traces/ }).click();
    await page.locator('.trace-name', { hasText: 'C3' }).click();
    await page.locator('.plots h2', { hasText: 'Cell C3' }).waitFor();
    await page.getByRole('button', { name: /^Table/ }).click();
    await page.locator('.plate-table .link', { hasText: 'A1' }).click();
    await page.locator('.plots h2', { hasText: 'Cell A1' }).waitFor();
    await page.close();
  });

  it("gives the map's numbers as a table, one row a rosette, undefined as a dash", async () => {
    const page = await pages.openRelease();
    await page.getByRole('button', { name: /^Table/ }).click();
    await page.locator('.plate-table tbody tr').first().waitFor();
    assert.equal(await page.locator('.plate-table tbody tr').count(), 9);
    // The plots read out the same row as the table, although a pixel column holds several.
    const inTable = await page.locator('.plate-table tr[aria-current] td').nth(1).textContent();
    const inPlot = page.locator('.plot-box[data-group=principal] .legend dd').first();
    await page.waitForFunction(() => !document.querySelector('.plot-box .legend dd')!.textContent!.includes('≈'));
    const value = (text: string): number => Number(text.replace('−', '-').split(' ')[0]);
    assert.ok(Math.abs(value(inTable!) - value((await inPlot.textContent())!)) <= 0.06, `${inTable}`);
    // Before the datum the plate is at rest: there is no direction to tell.
    await page.evaluate(() => window.harness.tell({ type: 'cursor', timeS: 20, toTimeS: 20, line: 1 }));
    await page.locator('.map-caption', { hasText: '0:00:20.0' }).waitFor();
    assert.ok((await page.locator('.plate-table td:nth-child(5)').allTextContents()).includes('–'));
    assert.doesNotMatch((await page.locator('.plate-table').textContent())!, /NaN|null|Infinity|undefined/);
    await page.close();
  });

  it('is worked by keyboard: list, map, plots', async () => {
    const page = await pages.openRelease();
    await page.locator('.event-list').focus();
    await page.keyboard.press('End');
    let before = (await told(page, 'reveal')).length;
    await page.keyboard.press('Home');
    await nextTold(page, 'reveal', before);
    await page.locator('.map-host').focus();
    const cell = await page.locator('.plate-map .chosen').getAttribute('data-cell');
    await page.keyboard.press(cell === '2' || cell === '5' || cell === '8' ? 'ArrowLeft' : 'ArrowRight');
    assert.notEqual(await page.locator('.plate-map .chosen').getAttribute('data-cell'), cell);
    await page.locator('.plot-stack').focus();
    await page.keyboard.press('Home');
    await page.keyboard.press('ArrowRight');
    before = (await told(page, 'reveal')).length;
    await page.keyboard.press('Enter');
    const revealed = await nextTold(page, 'reveal', before);
    assert.equal(revealed.preserveFocus, false);
    assert.ok(timesByLine(releaseLog).get(revealed.line)! > 0);
    await page.keyboard.press('+');
    const shown = await page.locator('.strip .shown').getAttribute('width');
    const all = await page.locator('.strip .all').getAttribute('width');
    assert.ok(Number(shown) < Number(all) * 0.8);
    await page.close();
  });

  it('filters events and says how many are hidden', async () => {
    const page = await pages.openRelease();
    // Two sensor events are added to whatever the log holds, so that the filter has something to hide.
    const kept = await page.evaluate(() => {
      const summary = window.harness.summary();
      const mechanical = summary.events.filter(({ nature }) => nature === 'mechanical');
      const sensor = ['one', 'two'].map((id) => ({
        ...mechanical[0]!,
        id,
        nature: 'sensor' as const,
        kind: 'spike' as const,
        severity: 'information' as const,
        cells: [],
      }));
      window.harness.tell({ type: 'summary', changes: { ...summary, events: [...mechanical, ...sensor] } });
      return mechanical.length;
    });
    await page.waitForFunction((count) => document.querySelectorAll('.event-list li').length === count, kept + 2);
    await page.locator('.events details summary').click();
    await choose(page, 'Nature', 'mechanical');
    await page.waitForFunction((count) => document.querySelectorAll('.event-list li').length === count, kept);
    assert.equal(await page.locator('.empty-list').textContent(), '2 events are hidden by the filter.');
    await page.close();
  });

  it('passes a verdict on and shows it', async () => {
    const page = await pages.openRelease();
    await page.getByRole('button', { name: /^Confirmed/ }).click();
    const { verdict, eventId } = await nextTold(page, 'judge', 0);
    assert.equal(verdict, 'confirmed');
    await page.locator(`.event-list [data-event="${eventId}"] .verdict`, { hasText: 'confirmed' }).waitFor();
    await page.close();
  });

  it('keeps zoom, cell, plane, quantities and the log over a reload', async () => {
    const page = await pages.open({ log: 'two-planes.strain.csv' });
    await page.locator('.plate-map .cell').first().waitFor();
    await page.locator('.plate-map [data-cell="5"]').click();
    await choose(page, 'Plane', 'low');
    const strip = (await page.locator('.strip').boundingBox())!;
    await page.mouse.move(strip.x + strip.width * 0.3, strip.y + 30);
    await page.mouse.down();
    await page.mouse.move(strip.x + strip.width * 0.6, strip.y + 30, { steps: 4 });
    await page.mouse.up();
    await page.waitForFunction(() => (window.harness.saved() as { fromS?: unknown } | null)?.fromS !== undefined);
    await page.waitForTimeout(400);
    const saved = await page.evaluate(() => window.harness.saved() as Record<string, unknown>);
    assert.equal(saved['log'], 'file:///logs/two-planes.strain.csv');
    await page.reload();
    await page.locator('.plots h2', { hasText: 'plane low' }).waitFor();
    assert.equal(await page.locator('.plate-map .chosen').getAttribute('data-cell'), '5');
    const [x, width] = await page
      .locator('.strip .shown')
      .evaluate((one) => [Number(one.getAttribute('x')), Number(one.getAttribute('width'))]);
    assert.ok(Math.abs(x! / strip.width - 0.3) < 0.02 && Math.abs(width! / strip.width - 0.3) < 0.02);
    await page.close();
  });

  it('says what to do where there is nothing to show', async () => {
    const page = await pages.openRelease();
    const shown = async (change: object): Promise<string> => {
      await page.evaluate((patch) => {
        window.harness.tell({ type: 'summary', changes: { ...window.harness.summary(), ...patch } });
      }, change);
      await page.waitForTimeout(50);
      return (await page.locator('.headline').textContent())!;
    };
    assert.match(await shown({ rows: 0, events: [] }), /Follow it while it is being written/);
    assert.match(await shown({ rows: 0, events: [], state: 'following' }), /as soon as the first rows/);
    assert.match(await shown({ state: 'failed', failure: 'The log cannot be read: no such file.' }), /no such file/);
    assert.equal(await page.getByRole('alert').count(), 1);
    await page.close();
    const mistakes = await pages.open({ log: 'header-mistakes.strain.csv' });
    assert.match((await mistakes.getByRole('alert').textContent())!, /header does not say enough/);
    await mistakes.locator('.problem-list .link').first().click();
    assert.ok((await nextTold(mistakes, 'reveal', 0)).line > 1);
    await mistakes.close();
  });

  it('shows how far reading has come, marks what is sampled, and can be stopped', async () => {
    const page = await pages.openRelease();
    await page.evaluate(() =>
      window.harness.tell({
        type: 'summary',
        changes: { ...window.harness.summary(), state: 'sampled', progress: 0.437, rows: 0, events: [] },
      }),
    );
    await page.locator('.state-text', { hasText: 'sampled 43 %' }).waitFor();
    // Sampled rows are drawn before any row is counted: nothing may say that the log is empty.
    assert.equal(await page.locator('.headline').textContent(), '');
    assert.ok(await page.locator('.strip svg').isVisible());
    await page.evaluate(() =>
      window.harness.tell({
        type: 'summary',
        changes: { ...window.harness.summary(), name: 'other', state: 'reading', events: [], progress: 0.5 },
      }),
    );
    await page.locator('.state-text', { hasText: 'reading 50 %' }).waitFor();
    await page.evaluate(() =>
      window.harness.tell({
        type: 'summary',
        changes: { ...window.harness.summary(), state: 'drawn', events: [], progress: 0.6 },
      }),
    );
    await page.locator('.state-text', { hasText: 'plots exact, looking for events 60 %' }).waitFor();
    // Before all has been looked through, nothing may be said to have stayed away for good.
    await page.locator('.tally', { hasText: 'No lasting mechanical change so far' }).waitFor();
    await page.locator('.events h2', { hasText: /^0 events so far$/ }).waitFor();
    await page.getByRole('button', { name: /^Stop/ }).click();
    await nextTold(page, 'cancel', 0);
    const again = page.getByRole('button', { name: /^Read/ });
    assert.equal(await again.isVisible(), false);
    const state = (changes: object): Promise<void> =>
      page.evaluate((told) => window.harness.tell({ type: 'summary', changes: told }), changes);
    for (const [end, words] of [
      [{ state: 'stopped', progress: 0.6 }, 'stopped at 60 %'],
      [{ state: 'failed', failure: 'the log was changed' }, 'not readable'],
    ] as const) {
      await state(end);
      await page.locator('.state-text', { hasText: words }).waitFor();
      const before = (await told(page, 'readAgain')).length;
      await again.click();
      await nextTold(page, 'readAgain', before);
    }
    await state({ state: 'complete', failure: '' });
    await again.waitFor({ state: 'hidden' });
    await page.close();
  });

  it('draws a second log behind, and its plots tell compared cells by name', async () => {
    const page = await pages.openRelease();
    const asked = await page.evaluate(() => window.harness.asked.filter((name) => name === 'referenceWindow').length);
    assert.equal(asked, 0);
    await page.evaluate(() => window.harness.openReference('good-build.strain.csv'));
    await page.waitForFunction(() => window.harness.asked.includes('referenceWindow'));
    await choose(page, 'Align by', 'layer');
    await choose(page, 'Compare with', 'C2');
    await page.locator('.plots .legend dt', { hasText: 'e1 of C2' }).waitFor();
    await page.close();
  });
});
