// One log from opening to following, through the file system: index kept and refused, appended rows, files that change.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import {
  appendFileSync,
  closeSync,
  mkdirSync,
  mkdtempSync,
  openSync,
  readdirSync,
  readFileSync,
  rmSync,
  truncateSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { analyse } from '../../src/core/session.ts';
import { openFile } from '../../src/worker/fileSource.ts';
import type { FileSource } from '../../src/worker/fileSource.ts';
import { indexStore } from '../../src/worker/indexFile.ts';
import { LogAnalysis } from '../../src/worker/logAnalysis.ts';
import { nodePlatform } from '../../src/worker/nodePlatform.ts';
import { analyseFile } from '../../src/worker/analyseFile.ts';
import { sampleScenario, simulateBuild } from '../support/simulatedBuild.ts';
import { writeBigLog } from '../support/bigLog.ts';

const text = simulateBuild(sampleScenario('release')).text;
const never = new AbortController().signal;

describe('log analysis', () => {
  let folder: string;
  let path: string;
  let indexFolder: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'underplate-'));
    path = join(folder, 'a.strain.csv');
    indexFolder = join(folder, 'storage');
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));

  /** A source that counts the bytes read through it. */
  async function counted(): Promise<FileSource & { bytesRead: number }> {
    const file = await openFile(path);
    const source = {
      ...file,
      bytesRead: 0,
      read: async (offset: number, length: number) => {
        const bytes = await file.read(offset, length);
        source.bytesRead += bytes.length;
        return bytes;
      },
    };
    return source;
  }

  async function open({ anew = false } = {}): Promise<{
    analysis: LogAnalysis;
    source: FileSource & { bytesRead: number };
  }> {
    const source = await counted();
    const analysis = new LogAnalysis(nodePlatform(source, indexStore(source, indexFolder)), {
      name: 'a.strain.csv',
      settings: {},
      anew,
    });
    await analysis.run(never);
    return { analysis, source };
  }

  function indexFile(): string {
    return join(
      indexFolder,
      readdirSync(indexFolder).find((name) => name.endsWith('.underplate-index'))!,
    );
  }

  it('a second opening takes everything from the index and says the same', async () => {
    writeFileSync(path, text);
    const first = await open();
    const second = await open();
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
    writeFileSync(path, text.slice(0, cut));
    const first = await open();
    await first.source.close();
    appendFileSync(path, text.slice(cut));
    const second = await open();
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
      writeFileSync(path, text);
      const first = await open();
      const whole = readFileSync(indexFile());
      spoil(indexFile());
      const second = await open();
      assert.deepEqual(second.analysis.summary, first.analysis.summary);
      assert.equal(readFileSync(indexFile()).length, whole.length);
      await first.source.close();
      await second.source.close();
    });
  }

  it('a log edited in place, its size kept, is read again and not taken from the index', async () => {
    writeFileSync(path, text);
    await (await open()).source.close();
    // Seven places between the hashed blocks, which lie a 31st of the log apart.
    for (let place = 0; place < 7; place++) {
      const near = Math.floor((text.length * (4 * place + 3.5)) / 31);
      const field = text.indexOf(',', text.indexOf('\n', near)) + 1;
      const spoilt = `${text.slice(0, field)}x${text.slice(field + 1)}`;
      writeFileSync(path, spoilt);
      const { analysis, source } = await open();
      const line = spoilt.slice(0, field).split('\n').length;
      assert.ok(
        analysis.summary.problems.some(({ range }) => range.line === line),
        `line ${line} of ${text.split('\n').length}`,
      );
      await source.close();
    }
  });

  it('reads every row again where that is asked for, and leaves an index that fits', async () => {
    writeFileSync(path, text);
    await (await open()).source.close();
    const anew = await open({ anew: true });
    assert.ok(anew.source.bytesRead > text.length);
    await anew.source.close();
    const again = await open();
    assert.ok(again.source.bytesRead < text.length);
    await again.source.close();
  });

  it('a folder that cannot be written costs the index, not the log', async () => {
    writeFileSync(path, text);
    writeFileSync(indexFolder, 'a file stands where the folder should be');
    const { analysis, source } = await open();
    assert.equal(analysis.summary.state, 'complete');
    assert.match(analysis.summary.failure, /no index kept/);
    await source.close();
  });

  it('all index files together stay within their bound, oldest out', async () => {
    mkdirSync(indexFolder);
    writeFileSync(join(indexFolder, 'old.underplate-index'), new Uint8Array(3_000_000));
    execFileSync('touch', ['-d', '2020-01-01', join(indexFolder, 'old.underplate-index')]);
    writeFileSync(path, text);
    const source = await openFile(path);
    const store = indexStore(source, indexFolder, 2_500_000);
    const analysis = new LogAnalysis(nodePlatform(source, store), { name: 'a', settings: {} });
    await analysis.run(never);
    assert.equal(readdirSync(indexFolder).length, 1);
    assert.ok(!readdirSync(indexFolder).includes('old.underplate-index'));
    await source.close();
  });

  it('followed row by row, it tells what a reading of the whole tells', async () => {
    const lines = text.split('\n');
    const from = Math.floor(lines.length * 0.6);
    writeFileSync(path, `${lines.slice(0, from).join('\n')}\n`);
    const { analysis, source } = await open();
    for (let at = from; at < lines.length; at += 37) {
      const piece = lines.slice(at, at + 37).join('\n');
      // Half a line first, as a writer's buffer may leave it.
      appendFileSync(path, piece.slice(0, 50));
      await analysis.readOn(never);
      appendFileSync(path, piece.slice(50) + (at + 37 < lines.length ? '\n' : ''));
      await analysis.readOn(never);
    }
    const fresh = analyse(new TextEncoder().encode(text));
    assert.equal(analysis.summary.rows, fresh.rows);
    assert.deepEqual(
      analysis.summary.events.map(({ id }) => id),
      fresh.events.map(({ id }) => id),
    );
    await source.close();
  });

  it('followed from its first rows on, the zero is settled when its window closes', async () => {
    const first = text.indexOf('\ntime,');
    const cut = text.indexOf('\n', first + 1000) + 1;
    writeFileSync(path, text.slice(0, cut));
    const { analysis, source } = await open();
    assert.equal(analysis.session!.head!.settled, false);
    appendFileSync(path, text.slice(cut));
    await analysis.readOn(never);
    const fresh = analyse(new TextEncoder().encode(text));
    assert.deepEqual(analysis.summary.datum, fresh.basis!.context.report);
    assert.deepEqual(analysis.summary.events, fresh.events);
    await source.close();
  });

  it('a log that became shorter is read anew', async () => {
    writeFileSync(path, text);
    const { analysis, source } = await open();
    const cut = text.indexOf('\n', Math.floor(text.length * 0.3)) + 1;
    truncateSync(path, cut);
    assert.equal(await analysis.readOn(never), 'anew');
    assert.equal(analysis.summary.rows, analyse(new TextEncoder().encode(text.slice(0, cut))).rows);
    await source.close();
  });

  for (const [name, other, cut] of [
    ['a longer one', text, 500_000],
    ['one of its own size', text.slice(0, 500_000), 500_000],
    ['one that first overwrites only its beginning', text, 200_000],
  ] as const) {
    it(`a followed log written over in place by ${name} is read anew, and nothing of two logs is told`, async () => {
      const former = simulateBuild({ ...sampleScenario('good-build'), seed: 7 }).text;
      writeFileSync(path, former.slice(0, 500_000));
      const { analysis, source } = await open();
      assert.equal(await analysis.readOn(never), 'none');
      // As a copying program that keeps the file does: from the start on, nothing cut.
      const file = openSync(path, 'r+');
      writeSync(file, other.slice(0, cut), 0);
      await analysis.readOn(never);
      writeSync(file, other.slice(cut), cut);
      closeSync(file);
      await analysis.readOn(never);
      const fresh = analyse(readFileSync(path));
      assert.equal(analysis.summary.rows, fresh.rows);
      assert.deepEqual(
        analysis.summary.events.map(({ id, kind }) => [id, kind]),
        fresh.events.map(({ id, kind }) => [id, kind]),
      );
      assert.equal(analysis.summary.reading, cut === 200_000 ? 3 : 2);
      await source.close();
    });
  }

  it('a followed log written over while what was appended is read is read anew', async () => {
    const cut = text.indexOf('\n', Math.floor(text.length * 0.7)) + 1;
    writeFileSync(path, text.slice(0, cut));
    const file = await openFile(path);
    const other = new TextEncoder().encode(text.replaceAll('A2', 'Z2'));
    let readings = 0;
    const read: FileSource['read'] = async (offset, length, into) => {
      // The first large piece of what was appended.
      if (offset >= cut - 2000 && length > 4096 && readings++ === 0) writeFileSync(path, other, { flag: 'r+' });
      return file.read(offset, length, into);
    };
    const analysis = new LogAnalysis(nodePlatform({ ...file, read }, undefined, 1), { name: 'a', settings: {} });
    await analysis.run(never);
    appendFileSync(path, text.slice(cut));
    assert.equal(await analysis.readOn(never), 'anew');
    assert.equal(readings > 0, true);
    assert.deepEqual(analysis.summary.events, analyse(other).events);
    await file.close();
  });

  it('a followed log that was changed while it was first read is read anew once it rests', async () => {
    writeFileSync(path, text);
    const file = await openFile(path);
    let fingerprint = 0;
    const platform = {
      ...nodePlatform(file, undefined, 1),
      fingerprint: () => Promise.resolve(`${Math.min(2, ++fingerprint)}`),
    };
    const analysis = new LogAnalysis(platform, { name: 'a', settings: {} });
    await analysis.run(never);
    assert.equal(analysis.summary.state, 'failed');
    assert.equal(await analysis.readOn(never), 'anew');
    assert.equal(analysis.summary.state, 'complete');
    assert.equal(analysis.summary.rows, analyse(new TextEncoder().encode(text)).rows);
    await file.close();
  });

  it('tells rows that were appended from those of another reading', async () => {
    const cut = text.indexOf('\n', Math.floor(text.length * 0.5)) + 1;
    writeFileSync(path, text.slice(0, cut));
    const { analysis, source } = await open();
    const { reading } = analysis.summary;
    appendFileSync(path, text.slice(cut));
    assert.equal(await analysis.readOn(never), 'more');
    assert.equal(analysis.summary.reading, reading);
    truncateSync(path, cut);
    await analysis.readOn(never);
    assert.equal(analysis.summary.reading, reading + 1);
    await source.close();
  });

  it('what else went wrong is told again once a log that was gone is back', async () => {
    writeFileSync(path, text);
    writeFileSync(indexFolder, 'a file stands where the folder should be');
    const source = await openFile(path);
    let gone = false;
    let changed = false;
    const platform = {
      ...nodePlatform({ ...source, gone: () => Promise.resolve(gone) }, indexStore(source, indexFolder), 1),
      fingerprint: () => Promise.resolve(changed ? String(Math.random()) : ''),
    };
    for (const [words, state] of [
      [/no index kept/, 'complete'],
      [/was changed while it was read/, 'failed'],
    ] as const) {
      const analysis = new LogAnalysis(platform, { name: 'a', settings: {} });
      await analysis.run(never);
      for (gone of [false, true, false]) {
        await analysis.readOn(never);
        assert.match(analysis.summary.failure, gone ? /not there any more/ : words);
        assert.equal(analysis.summary.gone, gone);
        assert.equal(analysis.summary.state, state);
      }
      changed = true;
    }
    await source.close();
  });

  it('shows sampled rows of a long log first, marked as such, then exact ones', async () => {
    writeBigLog(path, 9 * 1024 * 1024);
    const source = await openFile(path);
    const analysis = new LogAnalysis(nodePlatform(source, undefined, 1), { name: 'a', settings: {} });
    const seen: { state: string; exact: Promise<boolean> }[] = [];
    const request = { series: ['A1_0'], fromS: 0, toS: 1000, pixels: 100 };
    analysis.onSummary(({ state }) => {
      if (state === 'sampled' || state === 'complete') {
        seen.push({ state, exact: analysis.queries!.window(request).then((reply) => reply.exact) });
      }
    });
    await analysis.run(never);
    assert.deepEqual(await Promise.all(seen.slice(0, 1).map(({ exact }) => exact)), [false]);
    assert.equal(seen[0]?.state, 'sampled');
    assert.equal(seen.at(-1)?.state, 'complete');
    assert.equal(await seen.at(-1)!.exact, true);
    await source.close();
  });

  it('answers with the layers alone where no series are asked for', async () => {
    writeFileSync(path, text);
    const { analysis, source } = await open();
    const { startS, endS, lastLayer, series } = analysis.summary;
    const request = { fromS: startS, toS: endS, pixels: 100, quick: true };
    const alone = await analysis.queries!.window({ ...request, series: [] });
    const table = text
      .trimEnd()
      .split('\n')
      .filter((line) => !line.startsWith('#'))
      .map((line) => line.split(','));
    const [time, layer] = [table[0]!.indexOf('time'), table[0]!.indexOf('layer')];
    const starts = table.slice(1).filter((row, at) => at === 0 || row[layer] !== table[at]![layer]);
    assert.deepEqual(
      alone.layers,
      starts.map((row) => ({ layer: Number(row[layer]), timeS: Number(row[time]) })),
    );
    assert.equal(alone.layers.at(-1)!.layer, lastLayer);
    const marks = (await analysis.queries!.window({ ...request, series: [series[0]!.id] })).layers;
    assert.ok(marks.length > 1 && marks.length < 100 / 8 + 1, 'beside a plot they are thinned');
    assert.deepEqual([alone.timeS.length, alone.values.length], [0, 0]);
    await source.close();
  });

  it('counts problems as its lists do: an entry once, however many are folded into it', async () => {
    const lines = text.split('\n');
    for (let at = 1; at <= 300; at++) lines.splice(lines.length - 3 * at, 0, `not,a,row,${at}`);
    writeFileSync(path, lines.join('\n'));
    const { analysis, source } = await open();
    const { problemCount, problems } = analysis.summary;
    assert.ok(problems.some(({ folded }) => (folded ?? 0) > 0));
    let listed = 0;
    for (let part; (part = await analysis.queries!.problems({ first: listed, count: 50 })).length > 0;) {
      listed += part.length;
    }
    assert.equal(problemCount, listed);
    await source.close();
  });

  it('counts every faulty row, also when gone on from an index or from the rows before', async () => {
    const lines = text.split('\n');
    const row = lines.findIndex((line) => line.startsWith('time,')) + 400;
    const short = Array.from({ length: 600 }, (_, i) => `${i},1`);
    lines.splice(row, 0, ...short);
    const counts = (analysis: LogAnalysis): number[] =>
      analysis.session!.problems.filter(({ code }) => code === 'short-row').map(({ folded }) => 1 + (folded ?? 0));
    const total = (analysis: LogAnalysis): number => counts(analysis).reduce((sum, count) => sum + count, 0);
    writeFileSync(path, lines.join('\n'));
    const first = await open();
    assert.equal(total(first.analysis), 600);
    const second = await open();
    assert.ok(second.source.bytesRead < text.length);
    assert.equal(total(second.analysis), 600);
    for (const more of [650, 700]) {
      appendFileSync(path, `${short.slice(0, 50).join('\n')}\n`);
      for (const { analysis } of [first, second]) {
        await analysis.readOn(never);
        assert.equal(total(analysis), more);
        assert.equal(counts(analysis).length, 101, 'those beyond a hundred are told as one');
      }
    }
    await first.source.close();
    await second.source.close();
  });

  it('stops when asked to', async () => {
    writeBigLog(path, 9 * 1024 * 1024);
    const source = await openFile(path);
    const analysis = new LogAnalysis(nodePlatform(source, undefined, 1), { name: 'a', settings: {} });
    const stop = new AbortController();
    analysis.onSummary(({ state }) => state === 'sampled' && stop.abort());
    await analysis.run(stop.signal);
    assert.equal(analysis.summary.state, 'stopped');
    await source.close();
  });

  it('refuses a folder and a named pipe with a remedy', async () => {
    await assert.rejects(analyseFile(folder), /is a folder; save the log to a file/);
    const pipe = join(folder, 'pipe');
    execFileSync('mkfifo', [pipe]);
    await assert.rejects(analyseFile(pipe), /no regular file \(a pipe or device\)/);
  });

  it('a file of zeros and a line without end are told in bounded memory', async () => {
    execFileSync('truncate', ['-s', '200M', path]);
    const zeros = await analyseFile(path);
    assert.ok(zeros.summary.problems.some(({ severity }) => severity === 'error'));
    await zeros.close();
    writeFileSync(path, text);
    execFileSync('truncate', ['-s', '200M', path]);
    const before = process.memoryUsage().rss;
    const tail = await analyseFile(path);
    assert.ok(tail.allProblems.some(({ code }) => code === 'line-too-long' || code === 'binary-data'));
    assert.ok(process.memoryUsage().rss - before < 150e6);
    await tail.close();
  });
});
