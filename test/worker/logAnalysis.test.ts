// One log from its opening to its end, through the file system.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { appendFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { analyseFile } from '../../src/worker/analyseFile.ts';
import { openFile } from '../../src/worker/fileSource.ts';
import { LogAnalysis } from '../../src/worker/logAnalysis.ts';
import { nodePlatform } from '../../src/worker/nodePlatform.ts';
import { writeBigLog } from '../support/bigLog.ts';
import { LogFolder, never, text } from './logFolder.ts';

describe('log analysis', () => {
  const log = new LogFolder();

  it('shows sampled rows of a long log first, marked as such, then exact ones', async () => {
    writeBigLog(log.path, 9 * 1024 * 1024);
    const source = await openFile(log.path);
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
    writeFileSync(log.path, text);
    const { analysis, source } = await log.open();
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
    writeFileSync(log.path, lines.join('\n'));
    const { analysis, source } = await log.open();
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
    writeFileSync(log.path, lines.join('\n'));
    const first = await log.open();
    assert.equal(total(first.analysis), 600);
    const second = await log.open();
    assert.ok(second.source.bytesRead < text.length);
    assert.equal(total(second.analysis), 600);
    for (const more of [650, 700]) {
      appendFileSync(log.path, `${short.slice(0, 50).join('\n')}\n`);
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
    writeBigLog(log.path, 9 * 1024 * 1024);
    const source = await openFile(log.path);
    const analysis = new LogAnalysis(nodePlatform(source, undefined, 1), { name: 'a', settings: {} });
    const stop = new AbortController();
    analysis.onSummary(({ state }) => state === 'sampled' && stop.abort());
    await analysis.run(stop.signal);
    assert.equal(analysis.summary.state, 'stopped');
    await source.close();
  });

  it('refuses a folder and a named pipe with a remedy', async () => {
    await assert.rejects(analyseFile(log.folder), /is a folder; save the log to a file/);
    const pipe = join(log.folder, 'pipe');
    execFileSync('mkfifo', [pipe]);
    await assert.rejects(analyseFile(pipe), /no regular file \(a pipe or device\)/);
  });

  it('a file of zeros and a line without end are told in bounded memory', async () => {
    execFileSync('truncate', ['-s', '200M', log.path]);
    const zeros = await analyseFile(log.path);
    assert.ok(zeros.summary.problems.some(({ severity }) => severity === 'error'));
    await zeros.close();
    writeFileSync(log.path, text);
    execFileSync('truncate', ['-s', '200M', log.path]);
    const before = process.memoryUsage().rss;
    const tail = await analyseFile(log.path);
    assert.ok(tail.allProblems.some(({ code }) => code === 'line-too-long' || code === 'binary-data'));
    assert.ok(process.memoryUsage().rss - before < 150e6);
    await tail.close();
  });
});
