// What is kept of a log in its index file: taken over, gone on from, refused.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { appendFileSync, mkdirSync, readdirSync, readFileSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { analyse } from '../../src/core/session.ts';
import { openFile } from '../../src/worker/fileSource.ts';
import { indexStore } from '../../src/worker/indexFile.ts';
import { LogAnalysis } from '../../src/worker/logAnalysis.ts';
import { nodePlatform } from '../../src/worker/nodePlatform.ts';
import { LogFolder, never, text } from './logFolder.ts';

describe('the index of a log', () => {
  const log = new LogFolder();

  it('a second opening takes everything from the index and says the same', async () => {
    writeFileSync(log.path, text);
    const first = await log.open();
    const second = await log.open();
    assert.deepEqual(second.analysis.summary, first.analysis.summary);
    // The head is read to know the zero, and a few blocks to know the log; not the rest.
    assert.ok(first.source.bytesRead > text.length);
    assert.ok(second.source.bytesRead < text.length);
    const request = { series: ['B2_up_e1', 'B2_up_0'], fromS: 0, toS: 3000, pixels: 200 };
    assert.deepEqual(await second.analysis.queries!.window(request), await first.analysis.queries!.window(request));
    await first.source.close();
    await second.source.close();
  });

  it('a log that only grew is continued from the index, and says what a fresh reading says', async () => {
    const cut = text.indexOf('\n', Math.floor(text.length * 0.7)) + 1;
    writeFileSync(log.path, text.slice(0, cut));
    const first = await log.open();
    await first.source.close();
    appendFileSync(log.path, text.slice(cut));
    const second = await log.open();
    const fresh = analyse(new TextEncoder().encode(text));
    assert.deepEqual(second.analysis.summary.events, fresh.events);
    assert.equal(second.analysis.summary.rows, fresh.rows);
    await second.source.close();
  });

  for (const [name, spoil] of [
    ['cut short', (file: string) => truncateSync(file, 5000)],
    ['empty', (file: string) => writeFileSync(file, '')],
    [
      'with one byte changed',
      (file: string) => {
        const bytes = readFileSync(file);
        bytes[Math.floor(bytes.length / 2)]! ^= 1;
        writeFileSync(file, bytes);
      },
    ],
    [
      'of another version',
      (file: string) => {
        const bytes = readFileSync(file);
        bytes[4] = 250;
        writeFileSync(file, bytes);
      },
    ],
  ] as const) {
    it(`an index ${name} is refused and made anew`, async () => {
      writeFileSync(log.path, text);
      const first = await log.open();
      const whole = readFileSync(log.indexFile);
      spoil(log.indexFile);
      const second = await log.open();
      assert.deepEqual(second.analysis.summary, first.analysis.summary);
      assert.equal(readFileSync(log.indexFile).length, whole.length);
      await first.source.close();
      await second.source.close();
    });
  }

  it('a log edited in place, its size kept, is read again and not taken from the index', async () => {
    writeFileSync(log.path, text);
    await (await log.open()).source.close();
    // Seven places between the hashed blocks, which lie a 31st of the log apart.
    for (let place = 0; place < 7; place++) {
      const near = Math.floor((text.length * (4 * place + 3.5)) / 31);
      const field = text.indexOf(',', text.indexOf('\n', near)) + 1;
      const spoilt = `${text.slice(0, field)}x${text.slice(field + 1)}`;
      writeFileSync(log.path, spoilt);
      const { analysis, source } = await log.open();
      const line = spoilt.slice(0, field).split('\n').length;
      assert.ok(
        analysis.summary.problems.some(({ range }) => range.line === line),
        `line ${line} of ${text.split('\n').length}`,
      );
      await source.close();
    }
  });

  it('reads every row again where that is asked for, and leaves an index that fits', async () => {
    writeFileSync(log.path, text);
    await (await log.open()).source.close();
    const anew = await log.open({ anew: true });
    assert.ok(anew.source.bytesRead > text.length);
    await anew.source.close();
    const again = await log.open();
    assert.ok(again.source.bytesRead < text.length);
    await again.source.close();
  });

  it('a folder that cannot be written costs the index, not the log', async () => {
    writeFileSync(log.path, text);
    writeFileSync(log.indexFolder, 'a file stands where the folder should be');
    const { analysis, source } = await log.open();
    assert.equal(analysis.summary.state, 'complete');
    assert.match(analysis.summary.failure, /no index kept/);
    await source.close();
  });

  it('all index files together stay within their bound, oldest out', async () => {
    mkdirSync(log.indexFolder);
    writeFileSync(join(log.indexFolder, 'old.underplate-index'), new Uint8Array(3_000_000));
    execFileSync('touch', ['-d', '2020-01-01', join(log.indexFolder, 'old.underplate-index')]);
    writeFileSync(log.path, text);
    const source = await openFile(log.path);
    const store = indexStore(source, log.indexFolder, 2_500_000);
    const analysis = new LogAnalysis(nodePlatform(source, store), { name: 'a', settings: {} });
    await analysis.run(never);
    assert.equal(readdirSync(log.indexFolder).length, 1);
    assert.ok(!readdirSync(log.indexFolder).includes('old.underplate-index'));
    await source.close();
  });
});
