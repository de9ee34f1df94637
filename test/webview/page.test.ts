import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { clock } from '../../src/core/display/numberFormat.ts';
import type { FromView } from '../../src/messages/view.ts';
import { startHarness, type OpenOptions, type ViewHarness } from './harness/viewHarness.ts';

const releaseLog = 'release.strain.csv';

/** Time of every row by its line (from 1), read apart from any code of ours. */
function timesByLine(name: string): Map<number, number> {
  const times = new Map<number, number>();
  readFileSync(`sample-logs/${name}`, 'utf8')
    .split('\n')
    .forEach((line, index) => {
      if (/^[\d.]+,/.test(line)) times.set(index + 1, Number(line.split(',')[0]));
    });
  return times;
}

async function told<T extends FromView['type']>(page: Page, type: T): Promise<Extract<FromView, { type: T }>[]> {
  const all = await page.evaluate(() => window.harness.told);
  return all.filter((notice): notice is Extract<FromView, { type: T }> => notice.type === type);
}

/** The last notice of a type, once there is one more than `before`. */
async function nextTold<T extends FromView['type']>(page: Page, type: T, before: number) {
  await page.waitForFunction(
    ([wanted, count]) => window.harness.told.filter((notice) => notice.type === wanted).length > count,
    [type, before] as const,
  );
  return (await told(page, type)).at(-1)!;
}

async function choose(page: Page, label: string, option: string): Promise<void> {
  await page.locator(`vscode-dropdown[aria-label="${label}"]:visible`).first().click();
  await page.getByRole('option', { name: option, exact: true }).locator('visible=true').first().click();
}

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

describe('the page', () => {
  let harness: ViewHarness;
  const failures: string[] = [];
  const open = async (options: OpenOptions): Promise<Page> => {
    const page = await harness.open(options);
    page.on('pageerror', (error) => failures.push(String(error)));
    page.on('console', (message) => {
      if (message.type() === 'error') failures.push(message.text());
    });
    return page;
  };
  const openRelease = async (options: OpenOptions = {}): Promise<Page> => {
    const page = await open({ log: releaseLog, ...options });
    await page.locator('.plot-box canvas').first().waitFor();
    await page.locator('.plate-map .cell').first().waitFor();
    return page;
  };

  before(async () => {
    harness = await startHarness();
  });
  after(async () => {
    await harness.close();
    assert.deepEqual(failures, []);
  });

  it('answers at first sight: the gravest event in words, chosen in the list, its cells and origin on the map', async () => {
    const page = await openRelease();
    const event = await page.evaluate(
      () =>
        window.harness.summary().events.find(({ severity }) => severity === 'error') ??
        window.harness.summary().events.find(({ severity }) => severity === 'warning'),
    );
    assert.ok(event, 'the sample log holds an event');
    const written = (text: string): string => text.replace(' microstrain', ' µm/m').replace(' degrees', '°');
    assert.equal(await page.locator('.gravest b').textContent(), written(event.message));
    assert.equal(await page.locator('.event-list [aria-selected=true]').getAttribute('data-event'), event.id);
    const marked = await page
      .locator('.plate-map .concerned')
      .evaluateAll((all) => all.map((one) => one.getAttribute('data-cell')));
    assert.deepEqual(marked.map(Number).sort(), [...new Set(event.cells.map(({ cell }) => cell))].sort());
    const texts = await page.locator('.evidence li').allTextContents();
    assert.deepEqual(
      texts,
      event.evidence.map(({ text }) => written(text)),
    );
    assert.equal((await told(page, 'reveal')).length, 0, 'nothing moves in the text unasked');
    await page.close();
  });

  it('leads from an event to its line', async () => {
    const page = await openRelease();
    const events = await page.evaluate(() => window.harness.summary().events);
    for (const event of events) {
      const before = (await told(page, 'reveal')).length;
      await page.locator(`.event-list [data-event="${event.id}"]`).click();
      assert.equal((await nextTold(page, 'reveal', before)).line, event.line);
    }
    await page.close();
  });

  it('leads from a place in a plot to the line of that time', async () => {
    const page = await openRelease({ height: 2000 });
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
    const page = await openRelease();
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
    const page = await openRelease();
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
    const page = await openRelease();
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
    const page = await openRelease();
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
    const page = await openRelease();
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
    const page = await openRelease();
    await page.getByRole('button', { name: /^Confirmed/ }).click();
    const { verdict, eventId } = await nextTold(page, 'judge', 0);
    assert.equal(verdict, 'confirmed');
    await page.locator(`.event-list [data-event="${eventId}"] .verdict`, { hasText: 'confirmed' }).waitFor();
    await page.close();
  });

  it('keeps zoom, cell, plane, quantities and the log over a reload', async () => {
    const page = await open({ log: 'two-planes.strain.csv' });
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

  it('exports the shown window: rows as CSV, pictures as SVG and PNG, code for pandas', async () => {
    const page = await openRelease();
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
    harness.addLog('gaps.strain.csv', cut.join('\n'));
    const page = await open({ log: 'gaps.strain.csv' });
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
    harness.addLog('one.strain.csv', [...head.map((line) => `# ${line}`), 'time,S1_0', ...rows, ''].join('\n'));
    const page = await open({ log: 'one.strain.csv' });
    await page.locator('.plot-box', { hasText: 'S1_0' }).waitFor();
    await page.locator('.plate-map .cells .no-value').waitFor();
    await page.locator('.plate-map .legend', { hasText: 'no value' }).waitFor();
    await page.close();
  });

  it('says what to do where there is nothing to show', async () => {
    const page = await openRelease();
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
    const mistakes = await open({ log: 'header-mistakes.strain.csv' });
    assert.match((await mistakes.getByRole('alert').textContent())!, /header does not say enough/);
    await mistakes.locator('.problem-list .link').first().click();
    assert.ok((await nextTold(mistakes, 'reveal', 0)).line > 1);
    await mistakes.close();
  });

  it('shows how far reading has come, marks what is sampled, and can be stopped', async () => {
    const page = await openRelease();
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
    await page.close();
  });

  it('plays the build: the cursor runs to the end', async () => {
    const page = await openRelease();
    const { endS } = await page.evaluate(() => window.harness.summary());
    await page.evaluate((at) => window.harness.tell({ type: 'cursor', timeS: at, toTimeS: at, line: 1 }), endS * 0.97);
    await page.getByRole('button', { name: 'Play the build' }).click();
    await page.getByRole('button', { name: 'Pause' }).waitFor();
    await page.waitForFunction(() => document.querySelector<HTMLInputElement>('input[type=range]')!.value === '10000');
    await page.getByRole('button', { name: 'Play the build' }).waitFor();
    await page.close();
  });

  it('says which cells are without a channel at the cursor, on the map and in the table, and until when', async () => {
    const page = await open({ log: 'sick-sensor.strain.csv' });
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
    const page = await open({ log: 'sick-sensor.strain.csv' });
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

  it('moves from layer to layer instead of gliding where motion is to be reduced', async () => {
    const page = await openRelease({ reducedMotion: true });
    await page.evaluate(() => window.harness.tell({ type: 'cursor', timeS: 300, toTimeS: 300, line: 1 }));
    await page.getByRole('button', { name: 'Play the build' }).click();
    const places: number[] = [];
    while (places.length < 3) {
      const place = Number(await page.locator('input[type=range]').inputValue());
      if (place !== places.at(-1)) places.push(place);
    }
    const { endS } = await page.evaluate(() => window.harness.summary());
    // A layer of this log takes more than half a minute; a glide would move by a small part of that at every frame.
    for (const [i, place] of places.slice(2).entries()) assert.ok(((place - places[i + 1]!) / 10_000) * endS > 20);
    await page.close();
  });

  it('draws a second log behind, and its plots tell compared cells by name', async () => {
    const page = await openRelease();
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
