import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdirSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { InputError } from '../../../src/cli/command.ts';
import { makeCheckCommand } from '../../../src/cli/check/check.ts';
import { analyseFile } from '../../../src/worker/analyseFile.ts';
import { plateLog } from '../plateLog.ts';
import { folderWith, removeFolder, run, runOne } from '../runCommand.ts';

describe('underplate check, with wrong usage or unreadable logs, leaves with 2 and', function () {
  this.timeout(120_000);
  let folder = '';
  before(() => {
    folder = folderWith({
      'quiet.strain.csv': plateLog(),
      'step.strain.csv': plateLog({ steps: [{ at: 600, cell: 1, size: 60 }] }),
      'odd.strain.csv': plateLog(),
    });
  });
  after(() => removeFolder(folder));

  const cases: readonly (readonly [string, readonly string[], RegExp])[] = [
    ['names a missing log', ['check', 'gone.strain.csv'], /there is no file 'gone\.strain\.csv'/],
    ['names a pattern that matches nothing', ['check', 'x*.csv'], /no file matches the pattern 'x\*\.csv'/],
    ['takes no empty name for the working folder', ['check', ''], /'' names no log; is a variable empty\?/],
    ['names a folder without logs', ['check', 'empty'], /no \*\.strain\.csv below the folder 'empty'/],
    ['asks for a log', ['check'], /name at least one log/],
    ['names the formats', ['check', '--format', 'xml', 'quiet.strain.csv'], /--format knows text, json, .*; got 'xml'/],
    ['names the levels', ['check', '--fail-on', 'all', 'quiet.strain.csv'], /--fail-on knows error, warning, never/],
    ['names an option it does not know', ['check', '--quick', 'quiet.strain.csv'], /--quick/],
    [
      'wants a number of hours',
      ['check', '--false-alarm-budget', 'none', 'quiet.strain.csv'],
      /a number above 0 in h, got 'none'/,
    ],
    [
      'names the kinds',
      ['check', '--mute', 'bang', 'quiet.strain.csv'],
      /no event kind 'bang'; the kinds are release, crack/,
    ],
    ['wants the datum the right way round', ['check', '--datum', '60:10', 'quiet.strain.csv'], /the second later/],
    ['wants a name for a series', ['check', '--derive', '2+2', 'quiet.strain.csv'], /NAME=EXPRESSION/],
    [
      'names a folder that output cannot go to',
      ['check', '-o', 'no/where.txt', 'quiet.strain.csv'],
      /'.*no\/where\.txt' could not be written: its folder does not exist/,
    ],
    ['names the commands', ['chekc'], /no command 'chekc'/],
    [
      'tells a revision it does not know',
      ['check', '--against', 'v1', 'quiet.strain.csv'],
      /lies in no git repository/,
    ],
  ];
  for (const [title, argv, message] of cases) {
    it(title, async () => {
      mkdirSync(join(folder, 'empty'), { recursive: true });
      const { code, err, out } = await run(argv, { cwd: folder });
      assert.equal(code, 2);
      assert.match(err, message);
      assert.equal(out, '');
    });
  }

  it('still tells of the logs that can be read', async () => {
    const refused = Object.assign(new Error('EACCES: permission denied'), { code: 'EACCES' });
    const command = makeCheckCommand((path, options) =>
      path.endsWith('odd.strain.csv') ? Promise.reject(refused) : analyseFile(path, options),
    );
    const { code, out } = await runOne(command, ['odd.strain.csv', 'quiet.strain.csv'], { cwd: folder });
    assert.equal(code, 2);
    assert.match(out, /^odd\.strain\.csv: cannot be read: .*permissions/m);
    assert.match(out, /^quiet\.strain\.csv: 900 rows/m);
  });

  it('tells what cannot be reached from what is not there', async () => {
    const loop = join(folder, 'loop.strain.csv');
    symlinkSync(loop, loop);
    const { code, err } = await run(['check', 'loop.strain.csv'], { cwd: folder });
    rmSync(loop);
    assert.equal(code, 2);
    assert.match(err, /'loop\.strain\.csv' cannot be reached: ELOOP/);
  });

  it('tells the findings before it says that the job summary cannot be written', async () => {
    const env = { GITHUB_STEP_SUMMARY: join(folder, 'no/where.md') };
    const argv = ['--format', 'github', 'step.strain.csv'];
    const { code, out, err } = await run(['check', ...argv], { cwd: folder, env });
    assert.equal(code, 2);
    assert.match(out, /^::error file=step\.strain\.csv/m);
    assert.match(err, /job summary '.*where\.md' \(GITHUB_STEP_SUMMARY\) could not be written: its folder does not/);
    await assert.rejects(runOne(makeCheckCommand(analyseFile), argv, { cwd: folder, env }), InputError);
  });

  it('does not wait for a pipe', async () => {
    execFileSync('mkfifo', [join(folder, 'pipe')]);
    const { code, err } = await run(['check', 'pipe'], { cwd: folder });
    assert.equal(code, 2);
    assert.match(err, /'pipe' is no file/);
    writeFileSync(join(folder, 'piped.strain.csv'), plateLog());
    for (const ending of ['.notes.yaml', '.header.yaml']) {
      const beside = join(folder, `piped.strain.csv${ending}`);
      execFileSync('mkfifo', [beside]);
      const { code: refused, out, err: said } = await run(['check', 'piped.strain.csv'], { cwd: folder });
      rmSync(beside);
      assert.equal(refused, 2);
      assert.match(out + said, new RegExp(`piped\\.strain\\.csv\\${ending}'.* be read: it is no regular file`));
    }
    rmSync(join(folder, 'piped.strain.csv'));
  });

  const foreign: readonly (readonly [what: string, content: string | Uint8Array])[] = [
    ['an empty file', ''],
    ['a binary file', Uint8Array.from({ length: 5000 }, (_, i) => (i * 37) % 256)],
    ['UTF-16', new Uint8Array(Buffer.from(plateLog(), 'utf16le'))],
    ['another table', 'time,a\n0,1\n'],
    ['lines with CR alone', plateLog().replaceAll('\n', '\r')],
  ];
  for (const [what, content] of foreign) {
    it(`tells why ${what} is no log`, async () => {
      writeFileSync(join(folder, 'foreign.strain.csv'), content);
      for (const failOn of ['error', 'never']) {
        const argv = ['check', '--fail-on', failOn, 'foreign.strain.csv'];
        const { code, out } = await run(argv, { cwd: folder });
        assert.equal(code, 2);
        assert.match(out, /^foreign\.strain\.csv:1:1: error: /m);
      }
    });
  }
});
