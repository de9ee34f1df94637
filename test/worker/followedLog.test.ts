// A log that is followed while it grows, shrinks, is written over, or goes away.
import assert from 'node:assert/strict';
import { appendFileSync, closeSync, openSync, readFileSync, truncateSync, writeFileSync, writeSync } from 'node:fs';
import { analyse } from '../../src/core/session.ts';
import { openFile } from '../../src/worker/fileSource.ts';
import type { FileSource } from '../../src/worker/fileSource.ts';
import { indexStore } from '../../src/worker/indexFile.ts';
import { LogAnalysis } from '../../src/worker/logAnalysis.ts';
import { nodePlatform } from '../../src/worker/nodePlatform.ts';
import { sampleScenario, simulateBuild } from '../support/simulatedBuild.ts';
import { LogFolder, never, text } from './logFolder.ts';

describe('following a log', () => {
  const log = new LogFolder();

  it('followed row by row, it tells what a reading of the whole tells', async () => {
    const lines = text.split('\n');
    const from = Math.floor(lines.length * 0.6);
    writeFileSync(log.path, `${lines.slice(0, from).join('\n')}\n`);
    const { analysis, source } = await log.open();
    for (let at = from; at < lines.length; at += 37) {
      const piece = lines.slice(at, at + 37).join('\n');
      // Half a line first, as a writer's buffer may leave it.
      appendFileSync(log.path, piece.slice(0, 50));
      await analysis.readOn(never);
      appendFileSync(log.path, piece.slice(50) + (at + 37 < lines.length ? '\n' : ''));
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
    writeFileSync(log.path, text.slice(0, cut));
    const { analysis, source } = await log.open();
    assert.equal(analysis.session!.head!.settled, false);
    appendFileSync(log.path, text.slice(cut));
    await analysis.readOn(never);
    const fresh = analyse(new TextEncoder().encode(text));
    assert.deepEqual(analysis.summary.datum, fresh.basis!.context.report);
    assert.deepEqual(analysis.summary.events, fresh.events);
    await source.close();
  });

  it('a log that became shorter is read anew', async () => {
    writeFileSync(log.path, text);
    const { analysis, source } = await log.open();
    const cut = text.indexOf('\n', Math.floor(text.length * 0.3)) + 1;
    truncateSync(log.path, cut);
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
      writeFileSync(log.path, former.slice(0, 500_000));
      const { analysis, source } = await log.open();
      assert.equal(await analysis.readOn(never), 'none');
      // As a copying program that keeps the file does: from the start on, nothing cut.
      const file = openSync(log.path, 'r+');
      writeSync(file, other.slice(0, cut), 0);
      await analysis.readOn(never);
      writeSync(file, other.slice(cut), cut);
      closeSync(file);
      await analysis.readOn(never);
      const fresh = analyse(readFileSync(log.path));
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
    writeFileSync(log.path, text.slice(0, cut));
    const file = await openFile(log.path);
    const other = new TextEncoder().encode(text.replaceAll('A2', 'Z2'));
    let readings = 0;
    const read: FileSource['read'] = async (offset, length, into) => {
      // The first large piece of what was appended.
      if (offset >= cut - 2000 && length > 4096 && readings++ === 0) writeFileSync(log.path, other, { flag: 'r+' });
      return file.read(offset, length, into);
    };
    const analysis = new LogAnalysis(nodePlatform({ ...file, read }, undefined, 1), { name: 'a', settings: {} });
    await analysis.run(never);
    appendFileSync(log.path, text.slice(cut));
    assert.equal(await analysis.readOn(never), 'anew');
    assert.equal(readings > 0, true);
    assert.deepEqual(analysis.summary.events, analyse(other).events);
    await file.close();
  });

  it('a followed log that was changed while it was first read is read anew once it rests', async () => {
    writeFileSync(log.path, text);
    const file = await openFile(log.path);
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
    writeFileSync(log.path, text.slice(0, cut));
    const { analysis, source } = await log.open();
    const { reading } = analysis.summary;
    appendFileSync(log.path, text.slice(cut));
    assert.equal(await analysis.readOn(never), 'more');
    assert.equal(analysis.summary.reading, reading);
    truncateSync(log.path, cut);
    await analysis.readOn(never);
    assert.equal(analysis.summary.reading, reading + 1);
    await source.close();
  });

  it('what else went wrong is told again once a log that was gone is back', async () => {
    writeFileSync(log.path, text);
    writeFileSync(log.indexFolder, 'a file stands where the folder should be');
    const source = await openFile(log.path);
    let gone = false;
    let changed = false;
    const platform = {
      ...nodePlatform({ ...source, gone: () => Promise.resolve(gone) }, indexStore(source, log.indexFolder), 1),
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
});
