import assert from 'node:assert/strict';
import { createHash } from 'node:crypto';
import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { launchBrowser } from '../../workbench/browser.ts';
import { plateLog } from '../plateLog.ts';
import { folderWith, removeFolder, run } from '../runCommand.ts';

const notes = `notes: 1
threads:
  - id: a
    time: 600
    cell: B1
    remarks:
      - date: "2026-05-04T09:00:00Z"
        by: Ada <b>
        text: |-
          Heard it. **Twice.** <script>document.title = 'owned'</script> ![](https://example.org/pixel.png)
`;

describe('underplate report', function () {
  this.timeout(120_000);
  let folder = '';
  let page = '';
  let log = '';
  before(async () => {
    log = plateLog({ steps: [{ at: 600, cell: 1, size: 60 }], plannedLayers: 59, instead: { 300: '300.0,10,1' } });
    folder = folderWith({
      'a.strain.csv': log,
      'a.strain.csv.notes.yaml': notes,
      'sick.strain.csv': plateLog({
        directions: [0, 45, 90, 135],
        fault: (cell, fibre, row) => (cell === 4 && fibre === 1 && row >= 600 ? 60 : 0),
      }),
      'quiet.strain.csv': plateLog({ plannedLayers: 0 }),
    });
    const ran = await run(['report', 'a.strain.csv', '--output', 'a.html'], { cwd: folder });
    assert.deepEqual(ran, { code: 0, out: '', err: '' });
    page = readFileSync(join(folder, 'a.html'), 'utf8');
  });
  after(() => removeFolder(folder));

  it('is the same to the byte from another folder at another time', async () => {
    const elsewhere = folderWith({ 'a.strain.csv': log, 'a.strain.csv.notes.yaml': notes });
    const { out } = await run(['report', 'a.strain.csv', '--output', '-'], { cwd: elsewhere });
    assert.equal(out, page);
    assert.ok(!page.includes(folder));
    removeFolder(elsewhere);
  });

  it('writes sentences as it writes tables: one unit of strain, and a minus', () => {
    assert.match(page, /\d µm\/m at /);
    assert.doesNotMatch(page, /\d microstrain|\d degrees| -\d/);
  });

  it('says once what is wrong with the datum, and of an empty window no noise', async () => {
    const reported = async (window: string): Promise<string> => {
      const name = 'datum.strain.csv';
      writeFileSync(join(folder, name), plateLog().replace('datum: {from: 10 s, to: 60 s}', `datum: ${window}`));
      return (await run(['report', name, '--output', '-'], { cwd: folder })).out;
    };
    const datumOf = (text: string): string => /<h2>Datum<\/h2>[^]*?<\/section>/.exec(text)![0];
    assert.match(datumOf(page), /are called zero; the window is fit for that\.<.*noise of one reading/s);
    const short = await reported('{from: 10 s, to: 14 s}');
    assert.equal(short.split('holds only 5 rows').length, 2);
    assert.match(datumOf(short), /not fit for that; see the <a href="#faults">/);
    assert.match(short, /<section id="faults">\n<h2>Faults of the log itself/);
    const empty = await reported('{from: 5000 s, to: 6000 s}');
    assert.equal(empty.split('holds no rows').length, 2);
    assert.match(datumOf(empty), /No row lies in this window.*<dt>rows in it<\/dt><dd>0</s);
    assert.doesNotMatch(datumOf(empty), /are called zero|noise|drift/);
  });

  it('names the very files it was made from', () => {
    for (const text of [log, notes]) {
      assert.ok(page.includes(createHash('sha256').update(text).digest('hex')));
    }
  });

  it('tells what was found, the fault of the log, the notes, settings and cautions', () => {
    for (const words of [
      /under bracket/,
      /Faults of the log itself/,
      /Heard it\. <strong>Twice\.<\/strong>/,
      /one in 200 h/,
      /no safety interlock/,
      /tray 3/,
    ]) {
      assert.match(page, words);
    }
    assert.ok(!/\b(NaN|Infinity|undefined|null)\b/.test(page));
  });

  it('names the channels that its curves do without, and says nothing of them where all are well', async () => {
    const { out } = await run(['report', 'sick.strain.csv', '--output', '-'], { cwd: folder });
    assert.match(out, /<h2>Sick channels<\/h2>/);
    assert.match(out, /<td>B2 up<\/td><td>without B2_up_45 from layer 20: jump<\/td>/);
    assert.doesNotMatch(page, /Sick channels/);
  });

  it('does the sums of going on or stopping', () => {
    // Layers of 30 s, layer 0 being the bare plate; 30 after the 29th are left of 59: 900 s. The bracket has 3600 mm² of
    // outline and the ring 7200 mm².
    assert.match(page, /<dt>layers done<\/dt><dd>29<\/dd>/);
    assert.match(page, /Stopping now would save about 15 min of plate time and give up the 14 min 59 s spent\./);
    assert.match(
      page,
      /<td>bracket<\/td><td>.*an event lies under it.*<\/td><td class="number">33 %<\/td><td class="number">5 min<\/td>/,
    );
    assert.match(page, /<td>ring<\/td><td>no event under it<\/td><td class="number">67 %<\/td>/);
  });

  it('says so where the header plans no layers', async () => {
    const { out } = await run(['report', 'quiet.strain.csv', '--output', '-'], { cwd: folder });
    assert.match(out, /not known: the header plans no layers/);
    assert.match(out, /No mechanical event was found\. The log itself is sound\./);
  });

  describe('of an event judged false alarm', () => {
    const judged = (list: string, verdict = 'false-alarm'): string => {
      const { out } = checked;
      const { id, line } = (JSON.parse(out) as { logs: { events: { id: string; line: number }[] }[] }).logs[0]!
        .events[0]!;
      eventLine = line;
      return `notes: 1\nthreads:\n  - id: t\n    time: 600\n    event: ${id}\n    verdict: ${verdict}\n${list}`;
    };
    const ben = '      - {date: 2026-03-03T08:00:00Z, by: Ben, verdict: confirmed}\n';
    const anna = '      - {date: 2026-03-04T08:00:00Z, by: Anna, verdict: false-alarm}\n';
    const name = 'judged.strain.csv';
    let checked: { out: string };
    let eventLine = 0;
    const reported = async (list: string): Promise<string> => {
      writeFileSync(join(folder, `${name}.notes.yaml`), judged(list));
      return (await run(['report', name, '--output', '-'], { cwd: folder })).out;
    };
    before(async () => {
      writeFileSync(join(folder, name), log.replace('\n300.0,10,1\n', '\n'));
      checked = await run(['check', name, '--format', 'json'], { cwd: folder });
    });

    it('says how many and by whom, keeps the evidence, and tells every judgement with line and event', async () => {
      const out = await reported(`    judged:\n${ben}${anna}`);
      const lead = /<p class="lead">(.*?)<\/p>/.exec(out)![1]!;
      assert.match(lead, /^1 mechanical event, judged false alarm by Anna; of 1 somebody judged otherwise\. The log/);
      assert.match(out, /<ul class="evidence">/);
      assert.match(out, /Judged false alarm, though somebody judged otherwise\./);
      const note = /<div class="note">\n<p class="by">(.*?)<\/p>/.exec(out)![1]!;
      assert.match(note, new RegExp(`^line ${eventLine} · time 0:10:00 · event [^ ]+ · false alarm `));
      assert.match(note, /\(Ben, 2026-03-03T08:00:00Z: confirmed; Anna, 2026-03-04T08:00:00Z: false alarm\)/);
      assert.match(out, /an event judged false alarm lies under it/);
    });

    it('says that nobody signed a verdict written without a name', async () => {
      const out = await reported('');
      assert.match(out, /1 mechanical event, judged false alarm; of 1 it was not noted who judged\./);
      assert.match(out, /false alarm \(not noted who judged\)/);
      assert.doesNotMatch(out, /judged otherwise/);
    });

    it('is told as a fault of the notes, and fails the check, where none of its judges gave the verdict', async () => {
      writeFileSync(join(folder, `${name}.notes.yaml`), judged(`    judged:\n${ben}`));
      const { code, out } = await run(['check', name], { cwd: folder });
      assert.equal(code, 1);
      assert.match(out, /notes\.yaml:6:14: error: Nobody who judged .* 'false-alarm' \(Ben: confirmed\)/);
    });
  });

  it('counts failing sensors in its first words', async () => {
    const { out } = await run(['report', 'sick.strain.csv', '--output', '-'], { cwd: folder });
    const lead = /<p class="lead">(.*?)<\/p>/.exec(out)![1]!;
    assert.equal(
      lead,
      'No mechanical event was found. Its sensors have 1 fault, listed below. Its header and rows are sound.',
    );
  });

  for (const [title, argv, message] of [
    ['without a page to write', ['a.strain.csv'], /name the page to write with --output/],
    ['over the log itself', ['a.strain.csv', '-o', 'a.strain.csv'], /--output names the log itself/],
    ['of several logs', ['a.strain.csv', 'quiet.strain.csv', '-o', 'x.html'], /name one log/],
    ['into a folder that is not there', ['a.strain.csv', '-o', 'no/x.html'], /its folder does not exist/],
  ] as const) {
    it(`refuses ${title}`, async () => {
      const { code, err } = await run(['report', ...argv], { cwd: folder });
      assert.equal(code, 2);
      assert.match(err, message);
      assert.equal(readFileSync(join(folder, 'a.strain.csv'), 'utf8'), log);
    });
  }

  for (const [title, text, told] of [
    ['with a broken header', plateLog().replace('thickness: 25 mm', 'thickness: 25 MPa'), 'unit-mismatch'],
    ['whose header is no YAML', plateLog().replace('planes: {up', 'planes: [up'), 'yaml-syntax'],
    ['that is no text', '\u0000\u0001\u0002\n', 'not-text'],
    ['that is empty', '', 'file-empty'],
    ['without rows', plateLog({ rows: 0 }), 'rows-missing'],
  ] as const) {
    it(`of a log ${title} records what is wrong, and does not pass`, async () => {
      writeFileSync(join(folder, 'broken.strain.csv'), text);
      const { code, out, err } = await run(['report', 'broken.strain.csv', '-o', '-'], { cwd: folder });
      assert.equal(code, 2);
      assert.match(out, new RegExp(told));
      assert.match(err, /broken\.strain\.csv:\d+:\d+: nothing was analysed, and the page says so: /);
    });
  }

  describe('opened in a browser', () => {
    let browser: Browser;
    let opened: Page;
    const asked: string[] = [];
    const complaints: string[] = [];
    before(async function () {
      this.timeout(120_000);
      browser = await launchBrowser();
      opened = await browser.newPage({ viewport: { width: 1100, height: 900 } });
      opened.on('request', (request) => asked.push(request.url()));
      opened.on('console', (message) => complaints.push(message.text()));
      opened.on('pageerror', (error) => complaints.push(error.message));
      await opened.goto(`file://${join(folder, 'a.html')}`);
    });
    after(() => browser.close());

    it('loads nothing else, runs no script and complains of nothing', async () => {
      assert.deepEqual(asked, [`file://${join(folder, 'a.html')}`]);
      assert.deepEqual(complaints, []);
      assert.equal(await opened.title(), 'tray 3');
      assert.equal(await opened.locator('script, iframe, img, link, object, embed').count(), 0);
    });

    it('draws the build, and the map and curves of the event', async () => {
      const drawings = await opened.locator('svg').evaluateAll((all) =>
        all.map((one) => {
          const { width, height } = (
            one as unknown as { getBoundingClientRect(): { width: number; height: number } }
          ).getBoundingClientRect();
          return width > 200 && height > 100;
        }),
      );
      assert.ok(drawings.length >= 3 && drawings.every(Boolean));
      assert.equal((await opened.locator('svg.plate-map .concerned').count()) > 0, true);
    });

    it('has no more in a line than the screen is wide, on a desk and on a phone', async () => {
      for (const width of [1100, 390]) {
        await opened.setViewportSize({ width, height: 900 });
        assert.equal(
          await opened.evaluate('document.documentElement.scrollWidth <= window.innerWidth'),
          true,
          `${width}`,
        );
      }
      await opened.setViewportSize({ width: 1100, height: 900 });
    });

    it('leads from the list of events to each event', async () => {
      const target = await opened.locator('table a').first().getAttribute('href');
      assert.equal(await opened.locator(target!).count(), 1);
    });

    it('has no fault that the axe rules for accessibility find', async () => {
      // A page of its own without the policy that forbids scripts, as the rules are one.
      const open = await browser.newPage();
      await open.setContent(page.replace(/<meta http-equiv="Content-Security-Policy"[^>]*>/, ''));
      await open.addScriptTag({ path: createRequire(import.meta.url).resolve('axe-core') });
      const faults = await open.evaluate(
        'axe.run().then((r) => r.violations.map((v) => v.id + ": " + v.nodes[0].html))',
      );
      await open.close();
      assert.deepEqual(faults, []);
    });

    it('prints on A4 and Letter with nothing cut off', async () => {
      for (const format of ['A4', 'Letter'] as const) {
        const pdf = (await opened.pdf({ format })).toString('latin1');
        const [, width, height] = /\/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]/.exec(pdf) ?? [];
        // ISO 216 A4 is 210 by 297 mm; US Letter 8.5 by 11 in; in points of 1/72 in.
        const [wide, high] = format === 'A4' ? [595.28, 841.89] : [612, 792];
        assert.ok(Math.abs(Number(width) - wide) < 1 && Math.abs(Number(height) - high) < 1);
        const pages = (pdf.match(/\/Type\s*\/Page\b/g) ?? []).length;
        assert.ok(pages >= 2 && pages <= 6, `${pages} pages`);
      }
      await opened.emulateMedia({ media: 'print' });
      await opened.setViewportSize({ width: 680, height: 900 }); // 180 mm of paper at 96 dots an inch
      assert.equal(await opened.evaluate('document.documentElement.scrollWidth <= window.innerWidth'), true);
    });
  });
});
