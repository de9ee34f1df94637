// The inside of a worker, asked over a channel as the editor asks it.
import assert from 'node:assert/strict';
import { appendFileSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { analyse } from '../../src/core/session.ts';
import type { LogSummary } from '../../src/messages/analysis.ts';
import type { AnalysisHandle } from '../../src/worker/client.ts';
import { openFile } from '../../src/worker/fileSource.ts';
import type { FileSource } from '../../src/worker/fileSource.ts';
import { hostedAnalysis } from '../support/hostedAnalysis.ts';
import { sampleScenario, simulateBuild } from '../support/simulatedBuild.ts';

const text = simulateBuild(sampleScenario('release')).text;
const cut = text.indexOf('\n', Math.floor(text.length * 0.6)) + 1;
const further = text.indexOf('\n', Math.floor(text.length * 0.8)) + 1;
const rowsOf = (log: string): number => analyse(new TextEncoder().encode(log)).rows;

describe('worker host', () => {
  let folder: string;
  let path: string;
  let file: FileSource;
  let failing = '';
  let latest: LogSummary | undefined;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'underplate-'));
    path = join(folder, 'a.strain.csv');
    failing = '';
  });
  afterEach(async () => {
    await file.close();
    rmSync(folder, { recursive: true, force: true });
  });

  async function start(): Promise<AnalysisHandle> {
    file = await openFile(path);
    const source: FileSource = {
      ...file,
      size: () => (failing === '' ? file.size() : Promise.reject(new Error(failing))),
    };
    const handle = hostedAnalysis(path, () => wait(20, { source }));
    handle.onSummary((summary) => (latest = summary));
    return handle;
  }

  async function until(what: (summary: LogSummary) => boolean): Promise<void> {
    for (let look = 0; look < 400; look++) {
      if (latest && what(latest)) return;
      await wait(10);
    }
    assert.fail(`never so: ${latest?.state ?? ''}, ${latest?.rows ?? 0} rows, ${latest?.failure ?? ''}`);
  }

  it('following that was stopped can be taken up again', async () => {
    writeFileSync(path, text.slice(0, cut));
    const { opened, follow, cancel } = await start();
    await opened;
    follow(true);
    appendFileSync(path, text.slice(cut, further));
    await until(({ state, rows }) => state === 'following' && rows === rowsOf(text.slice(0, further)));
    cancel();
    await until(({ state }) => state === 'complete');
    appendFileSync(path, text.slice(further));
    follow(true);
    await until(({ state, rows }) => state === 'following' && rows === rowsOf(text));
    follow(false);
    await until(({ state }) => state === 'complete');
  });

  it('a reading that was stopped is made up for once the log is followed', async () => {
    writeFileSync(path, text);
    const { opened, follow, cancel } = await start();
    cancel();
    await opened;
    await until(({ state }) => state === 'stopped');
    follow(true);
    await until(({ state, rows }) => state === 'complete' && rows === rowsOf(text));
    follow(false);
  });

  it('what goes wrong while following is told, and following goes on once it is mended', async () => {
    writeFileSync(path, text.slice(0, cut));
    const { opened, follow } = await start();
    await opened;
    failing = 'the share is gone';
    follow(true);
    await until(({ state, failure }) => state === 'failed' && failure === 'the share is gone');
    failing = '';
    appendFileSync(path, text.slice(cut));
    await until(({ state, rows, failure }) => state !== 'failed' && failure === '' && rows === rowsOf(text));
    follow(false);
  });

  it('a question that comes before anything can be answered is answered once it can be', async () => {
    writeFileSync(path, text);
    const { calls, onSummary } = await start();
    const firstWord = await new Promise<LogSummary>((heard) => onSummary(heard));
    assert.equal(firstWord.state, 'reading');
    const { firstLine, lines } = await calls.excerpt({ line: 90, before: 2, after: 1 });
    assert.equal(firstLine, 88);
    assert.deepEqual(lines, text.split('\n').slice(87, 91));
  });

  it('a question that cannot be answered any more is told why', async () => {
    writeFileSync(path, text);
    failing = 'the share is gone';
    const failed = await start();
    await assert.rejects(failed.calls.problems({ first: 0, count: 1 }), /the share is gone/);
    await file.close();
    failing = '';
    const stopped = await start();
    stopped.cancel();
    await assert.rejects(stopped.calls.place({ line: 90 }), /stopped.*read the log again/);
  });
});
