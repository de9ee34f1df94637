// Reading a file with several threads gives bit by bit what one thread gives, whatever the cut.
import assert from 'node:assert/strict';
import { closeSync, mkdtempSync, openSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import { analyse, Session } from '../../src/core/session.ts';
import type { SessionState } from '../../src/core/session.ts';
import { LogHead } from '../../src/core/pipeline/logHead.ts';
import { pyramidSeries } from '../../src/core/pipeline/cellWork.ts';
import type { WorkPart } from '../../src/core/pipeline/cellWork.ts';
import { drawFirst } from '../../src/worker/drawFirst.ts';
import { parallelScan } from '../../src/worker/parallelScan.ts';
import { WaitingThreads } from '../../src/worker/waitingThreads.ts';
import { simulateBuild, sampleScenario } from '../support/simulatedBuild.ts';

describe('parallel scan', () => {
  let folder: string;
  before(() => (folder = mkdtempSync(join(tmpdir(), 'underplate-'))));
  after(() => rmSync(folder, { recursive: true }));

  interface Way {
    readonly inTwoPasses?: boolean;
    /** Bytes after which the log had ended when it was read before. */
    readonly grownFrom?: number;
    readonly waiting?: WaitingThreads;
  }

  async function scan(
    text: string,
    threads: number,
    rangeBytes: number,
    { inTwoPasses = false, grownFrom = 0, waiting = new WaitingThreads() }: Way = {},
  ): Promise<Session | undefined> {
    const path = join(folder, 'a.strain.csv');
    writeFileSync(path, text);
    const bytes = new Uint8Array(readFileSync(path));
    const head = new LogHead({ settings: {} });
    head.push(bytes);
    const result = head.finish();
    const descriptor = openSync(path, 'r');
    const scanned = (part: WorkPart, size: number, from?: SessionState): Promise<SessionState | undefined> =>
      parallelScan({
        descriptor,
        size,
        from,
        basis: result.basis!,
        threads,
        pyramid: true,
        part,
        signal: new AbortController().signal,
        onProgress: () => undefined,
        rangeBytes,
        waiting,
      });
    const known = grownFrom > 0 ? await scanned('all', grownFrom) : undefined;
    const pass = (part: WorkPart): Promise<SessionState | undefined> => scanned(part, bytes.length, known);
    const reading = inTwoPasses ? drawFirst(pass, () => Promise.resolve()) : pass('all');
    const state = await reading.finally(() => closeSync(descriptor));
    if (!state) return undefined;
    const session = Session.resume({ settings: {} }, result, state);
    session.push(bytes.subarray(state.flow.offset));
    session.finish();
    return session;
  }

  /** All that a session knows, in a form that does not depend on how cells were dealt out. */
  function content(session: Session): unknown {
    const state: SessionState = session.save();
    const { header, layouts } = session.basis!;
    const extremes = [...session.pyramid()].map(([name, levels]) => {
      const pair = new Float64Array(2);
      const values: number[] = [];
      for (let bucket = 0; bucket < levels.buckets(0); bucket++) {
        levels.extremes(0, bucket, pair);
        values.push(...pair);
      }
      return { name, values };
    });
    const detectors = state.shares.flatMap((share, i) =>
      share.cells.map((cell, k) => ({ cell, state: state.works[i]!.detectors[k] })),
    );
    return {
      events: session.events,
      problems: session.problems,
      flow: state.flow,
      series: state.shares.flatMap((share) => pyramidSeries(header, layouts, share)).sort(),
      extremes: extremes.sort((a, b) => (a.name < b.name ? -1 : 1)),
      detectors: detectors.sort((a, b) => a.cell - b.cell),
    };
  }

  const text = simulateBuild(sampleScenario('release')).text;
  /** Faults in several ranges: a short row, a word, a time repeated, blank and comment lines. */
  const faulty = text
    .split('\n')
    .flatMap((line, i) => {
      if (i > 400 && i % 97 === 0) return [line.slice(0, line.lastIndexOf(',')), '', '# a remark'];
      if (i > 400 && i % 131 === 0) return [line, line];
      if (i > 400 && i % 151 === 0) return [line.replace(/,[^,]*$/, ',word')];
      return [line];
    })
    .join('\n');

  for (const [name, log] of [
    ['a good log', text],
    ['a log with faulty rows', faulty],
    ['a log whose last line is unfinished', text.slice(0, -20)],
    [
      'a log whose last row comes after a leap',
      text.replace(/\n(\d+)([^\n]*)\n$/, (_, time: string, rest: string) => `\n${Number(time) + 500}${rest}\n`),
    ],
  ] as const) {
    const alone = content(analyse(new TextEncoder().encode(log)));
    for (const [threads, rangeBytes] of [
      [1, 65536],
      [2, 20_011],
      [3, 100_003],
    ] as const) {
      it(`${name}: ${threads} threads with ranges of ${rangeBytes} bytes equal one session`, async () => {
        const session = await scan(log, threads, rangeBytes);
        assert.deepEqual(content(session!), alone);
      });
    }
  }

  it('drawn in one pass and searched in another, a log gives what one session gives', async () => {
    const session = await scan(faulty, 2, 20_011, { inTwoPasses: true });
    assert.deepEqual(content(session!), content(analyse(new TextEncoder().encode(faulty))));
  });

  for (const inTwoPasses of [false, true]) {
    it(`a log that grew is gone on with in ${inTwoPasses ? 'two passes' : 'one pass'} to what one session gives`, async () => {
      const grownFrom = Math.floor(faulty.length * 0.6);
      const session = await scan(faulty, 2, 20_011, { inTwoPasses, grownFrom });
      assert.deepEqual(content(session!), content(analyse(new TextEncoder().encode(faulty))));
    });
  }

  it('a row held back for its time keeps its readings when the log is gone on with in several threads', async () => {
    const leap = (line: string, s: number): string => line.replace(/^\d+/, (time) => `${Number(time) + s}`);
    const lines = text.trimEnd().split('\n');
    const held = [...lines.slice(0, -2), leap(lines.at(-2)!, 500)].join('\n');
    const log = `${held}\n${leap(lines.at(-1)!, 600)}\n`;
    const session = await scan(log, 3, 4096, { grownFrom: held.length + 1 });
    assert.deepEqual(content(session!), content(analyse(new TextEncoder().encode(log))));
  });

  for (const [way, script, words] of [
    ['dies', `throw new Error('out of memory')`, /out of memory/],
    [
      'ends without a word',
      `require('node:worker_threads').parentPort.once('message', () => process.exit())`,
      /ended before/,
    ],
  ] as const) {
    it(`a thread that ${way} ends the others, and then the scan fails`, async () => {
      const running = new Set<Worker>();
      class OneBad extends WaitingThreads {
        override take(): Worker {
          const worker = running.size === 1 ? new Worker(script, { eval: true }) : super.take();
          running.add(worker);
          worker.once('exit', () => running.delete(worker));
          return worker;
        }
      }
      await assert.rejects(scan(text, 3, 4096, { waiting: new OneBad() }), words);
      assert.equal(running.size, 0);
    });
  }

  it('a log with quotes is not cut', async () => {
    const lines = text.split('\n');
    lines[500] = lines[500]!.replace(/,([^,]*)$/, ',"$1"');
    assert.equal(await scan(lines.join('\n'), 2, 65536), undefined);
  });

  it('rows that do not fit their slot are scanned again by each thread', async () => {
    const lines = text.split('\n');
    const first = lines.findIndex((line) => line.startsWith('time,')) + 1;
    // Rows of empty fields are many times shorter than the mean row of the head.
    const sparse = lines.map((line, i) =>
      i > first + 600
        ? line.replace(/^([^,]*),.*/, (_, time: string) => time + ','.repeat(line.split(',').length - 1))
        : line,
    );
    const log = sparse.join('\n');
    const session = await scan(log, 2, 65536);
    assert.deepEqual(content(session!), content(analyse(new TextEncoder().encode(log))));
  });
});
