// Files as they should not be: each is told in words, in bounded memory, and an index made of one is never believed.
import assert from 'node:assert/strict';
import {
  appendFileSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  truncateSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { crc32 } from 'node:zlib';
import { analyse } from '../../src/core/session.ts';
import type { ByteSource } from '../../src/core/table/byteSource.ts';
import { analyseFile } from '../../src/worker/analyseFile.ts';
import { openFile } from '../../src/worker/fileSource.ts';
import type { FileSource } from '../../src/worker/fileSource.ts';
import { indexStore } from '../../src/worker/indexFile.ts';
import { LogAnalysis } from '../../src/worker/logAnalysis.ts';
import { nodePlatform } from '../../src/worker/nodePlatform.ts';
import { sampleScenario, simulateBuild } from '../support/simulatedBuild.ts';

const text = simulateBuild(sampleScenario('release')).text;
const bytes = new TextEncoder().encode(text);
const rows = analyse(bytes).rows;
const never = new AbortController().signal;

/** What is let go is given back a little later, by another thread. */
async function collectGarbage(): Promise<void> {
  setFlagsFromString('--expose-gc');
  (runInNewContext('gc') as () => void)();
  await setTimeout(50);
}

describe('bad files', () => {
  let folder: string;
  let path: string;
  let indexFolder: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'underplate-'));
    path = join(folder, 'a.strain.csv');
    indexFolder = join(folder, 'storage');
    writeFileSync(path, text);
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));

  /** `onRead` is told how many reads there have been, before each. */
  async function read(onRead: (count: number) => void = () => undefined): Promise<LogAnalysis> {
    const file = await openFile(path);
    let count = 0;
    const source: FileSource = {
      ...file,
      read: (offset, length, into) => {
        onRead(count++);
        return file.read(offset, length, into);
      },
    };
    const platform = nodePlatform(source, indexStore(source, indexFolder), 1);
    const analysis = new LogAnalysis(platform, { name: 'a.strain.csv', settings: {} });
    await analysis.run(never);
    await file.close();
    return analysis;
  }

  it('a line of 2 GB costs that line, not the memory', async () => {
    const lineBytes = 2 ** 31;
    const piece = new Uint8Array(1024 * 1024).fill('7'.charCodeAt(0));
    const line: ByteSource = {
      size: () => Promise.resolve(bytes.length + lineBytes),
      read: (offset, length) =>
        Promise.resolve(offset < bytes.length ? bytes.subarray(offset, offset + length) : piece.subarray(0, length)),
    };
    const before = process.memoryUsage().rss;
    const analysis = new LogAnalysis({ source: line }, { name: 'a.strain.csv', settings: {} });
    await analysis.run(never);
    assert.equal(analysis.summary.state, 'complete');
    assert.equal(analysis.summary.rows, rows);
    assert.deepEqual(
      analysis.summary.problems.map(({ code }) => code),
      ['line-too-long'],
    );
    assert.ok(process.memoryUsage().rss - before < 200e6);
  });

  for (const [title, change] of [
    ['cut short', () => truncateSync(path, Math.floor(bytes.length / 2))],
    ['written anew', () => writeFileSync(path, text.replaceAll('1', '2'))],
    [
      'put in the place of another',
      () => {
        writeFileSync(`${path}.new`, text.replaceAll('1', '2'));
        renameSync(`${path}.new`, path);
      },
    ],
  ] as const) {
    it(`a log that is ${title} while it is read is told, and no index is kept of it`, async () => {
      let changed = false;
      const analysis = await read((count) => {
        // The head, then the parts by which the log is known again, come first.
        if (count < 33 || changed) return;
        changed = true;
        change();
      });
      assert.ok(changed);
      assert.equal(analysis.summary.state, 'failed');
      assert.match(analysis.summary.failure, /was changed while it was read; open it again/);
      assert.throws(() => readdirSync(indexFolder), /ENOENT/);
    });
  }

  it('a log that only grows while it is read is read to where it ended', async () => {
    const analysis = await read((count) => {
      if (count === 40)
        appendFileSync(
          path,
          `${text
            .trimEnd()
            .split('\n')
            .at(-1)!
            .replace(/^[^,]*/, '99999')}\n`,
        );
    });
    assert.equal(analysis.summary.state, 'complete');
    assert.equal(analysis.summary.rows, rows);
  });

  it('a followed log in whose place another is put is read anew', async () => {
    const source = await openFile(path);
    const analysis = new LogAnalysis(nodePlatform(source, undefined, 1), { name: 'a', settings: {} });
    await analysis.run(never);
    const fewer = `${text.split('\n').slice(0, 900).join('\n')}\n`;
    // Longer in bytes than what it replaces, so that its size alone would look like growth.
    const longer = `${fewer}${'# a remark\n'.repeat(Math.ceil(text.length / 11))}`;
    writeFileSync(`${path}.new`, longer);
    renameSync(`${path}.new`, path);
    assert.equal(await analysis.readOn(never), 'anew');
    assert.equal(analysis.summary.rows, analyse(new TextEncoder().encode(longer)).rows);
    await source.close();
  });

  /** Changes what an index says, and gives it the checksum that goes with it. */
  function forge(change: (json: string) => string): void {
    const file = join(indexFolder, readdirSync(indexFolder)[0]!);
    const whole = readFileSync(file);
    const length = whole.readUInt32LE(8);
    const before = whole.toString('utf8', 16, 16 + length);
    const after = change(before);
    assert.notEqual(after, before);
    const json = Buffer.from(after);
    const head = Buffer.from(whole.subarray(0, 16));
    head.writeUInt32LE(json.length, 8);
    const rest = Buffer.concat([json, whole.subarray(16 + length)]);
    head.writeUInt32LE(crc32(rest), 12);
    writeFileSync(file, Buffer.concat([head, rest]));
  }

  for (const [title, change] of [
    ['other buckets', (json: string) => json.replaceAll(/"bucketRows":(\d+)/g, '"bucketRows":1024')],
    ['more rows than it has entries', (json: string) => json.replace(/"rows":(\d+)/, '"rows":9$1')],
    ['a cell less', (json: string) => json.replace(/"cells":\[0,/, '"cells":[')],
    ['an end beyond the log', (json: string) => json.replace(/"offset":(\d+)/, '"offset":9$1')],
    ['detectors that are none', (json: string) => json.replace(/"detectors":\[\{/, '"detectors":[{"x":{},')],
    ['states that are none', (json: string) => json.replace(/"health":/, '"wealth":')],
    ['no state', (json: string) => json.replace(/"state":/, '"fate":')],
  ] as const) {
    it(`a forged index with ${title} is not believed`, async () => {
      const honest = await read();
      forge(change);
      const again = await read();
      assert.deepEqual(again.summary, honest.summary);
    });
  }

  it('an index that cannot take its place leaves nothing behind, and what others left is cleared away', async () => {
    await read();
    const [name = ''] = readdirSync(indexFolder);
    rmSync(join(indexFolder, name));
    mkdirSync(join(indexFolder, name)); // a file cannot be put in the place of a folder
    const forsaken = join(indexFolder, `${name}.77-1.part`);
    writeFileSync(forsaken, 'half');
    utimesSync(forsaken, new Date('2020-01-01'), new Date('2020-01-01'));
    const analysis = await read();
    assert.equal(analysis.summary.state, 'complete');
    assert.match(analysis.summary.failure, /no index kept/);
    assert.deepEqual(readdirSync(indexFolder), [name]);
  });

  it('100,000 columns of a foreign table take some hundred megabytes, not thousands', async function () {
    this.timeout(120_000);
    const many = 100_000;
    const table = join(folder, 'wide.csv');
    const names = ['time', 'T', 'a', 'b', 'c', ...Array.from({ length: many }, (_, i) => `x${i}`)];
    const row = (k: number): string =>
      [k, 35, k % 3, k % 5, k % 7, ...Array.from({ length: many }, () => k % 9)].join(',');
    writeFileSync(table, `${names.join(',')}\n${Array.from({ length: 70 }, (_, k) => row(k)).join('\n')}\n`);
    const channels = ['0', '45', '90'].map(
      (direction, i) => `  ${'abc'[i]}: {cell: A, kind: strain, direction: ${direction} deg}`,
    );
    writeFileSync(
      `${table}.header.yaml`,
      [
        'strain_log: 1',
        'columns: {time: time}',
        "table: {delimiter: ',', columns: [{name: time, unit: s}, {name: T, unit: deg_C}, {name: a, unit: um/m}, {name: b, unit: um/m}, {name: c, unit: um/m}]}",
        'plate: {size: [250 mm, 250 mm], thickness: 30 mm, material: Al 6061-T6}',
        'cells: {A: {at: [75 mm, 75 mm]}}',
        'channels:',
        '  T: {cell: A, kind: temperature}',
        ...channels,
        '',
      ].join('\n'),
    );
    const before = process.memoryUsage().rss;
    const file = await analyseFile(table, { pyramid: true, workers: 1 });
    assert.equal(file.summary.rows, 70);
    // What was held for a moment and let go counts only until it is collected, whenever that would have been.
    for (let look = 0; look < 40 && process.memoryUsage().rss - before >= 700e6; look++) await collectGarbage();
    assert.ok(process.memoryUsage().rss - before < 700e6, `${process.memoryUsage().rss - before}`);
    await file.close();
  });
});
