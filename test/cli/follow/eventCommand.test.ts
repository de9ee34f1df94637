import assert from 'node:assert/strict';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { runEventCommand } from '../../../src/cli/follow/eventCommand.ts';
import { folderWith, removeFolder } from '../runCommand.ts';

const limits = { longestMs: 300, graceMs: 200 };

describe('the command run for an event', function () {
  this.timeout(20_000);
  let folder = '';
  beforeEach(() => (folder = folderWith({})));
  afterEach(() => removeFolder(folder));

  async function ran(
    command: string,
    variables: Readonly<Record<string, string>> = {},
    signal = new AbortController().signal,
    within = limits,
  ): Promise<{ readonly failure: string; readonly out: string }> {
    const chunks: string[] = [];
    const stdout = { write: (chunk: string | Uint8Array) => chunks.push(chunk.toString()) };
    const io = { stdout, stderr: stdout, cwd: folder, env: { PATH: process.env['PATH'] }, signal };
    const failure = await runEventCommand({ command, variables, input: 'the event\n' }, io, within);
    return { failure, out: chunks.join('') };
  }

  const patient = { ...limits, longestMs: 15_000 };

  it('hears of the event, and its output is passed on', async () => {
    const { failure, out } = await ran('cat; printf "%s" "$KIND"', { KIND: 'crack' }, undefined, patient);
    assert.deepEqual([failure, out], ['', 'the event\ncrack']);
  });

  it('is given a name that holds a NUL, which no environment can, as the terminal shows it', async () => {
    const { failure, out } = await ran('printf "%s" "$PART"', { PART: 'brac\0ket' }, undefined, patient);
    assert.deepEqual([failure, out], ['', String.raw`brac\x00ket`]);
  });

  it('that cannot be started is a failure, no crash', async () => {
    assert.notEqual((await ran('true', { PART: 'x'.repeat(4_000_000) })).failure, '');
  });

  for (const [what, command] of [
    ['waits for what it started', '(sleep 2; touch outlived) & wait'],
    ['leaves something in the background that holds its output', '(sleep 2; touch outlived) &'],
    ['runs one program after another', 'sleep 2; touch outlived'],
    ['does not want to be stopped', "trap '' TERM; sleep 2; touch outlived"],
  ] as const) {
    it(`that ${what} is stopped in time, with all that it started`, async () => {
      const { failure } = await ran(command);
      assert.match(failure, /^stopped after 0\.3 s/);
      await wait(2500);
      assert.ok(!existsSync(join(folder, 'outlived')));
    });
  }

  it('is not waited for where its output is held by what left its group', async () => {
    // Longer than the test may take.
    assert.match((await ran('setsid sleep 60 & wait')).failure, /^stopped after/);
  });

  it('is stopped, or not begun, when following ends', async () => {
    const stop = new AbortController();
    const running = ran('sleep 60', {}, stop.signal, patient);
    stop.abort();
    assert.match((await running).failure, /^stopped, since/);
    assert.match((await ran('touch begun', {}, stop.signal, patient)).failure, /^not run/);
    assert.ok(!existsSync(join(folder, 'begun')));
  });
});
