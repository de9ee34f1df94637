// What lies beside a log: the companion of a table, and notes that a renamed log has left behind.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { lineOfRow, plateLog, plateLogLines } from './plateLog.ts';
import { folderWith, removeFolder, run } from './runCommand.ts';

describe('a fault of the header beside a table', function () {
  this.timeout(120_000);
  let folder = '';
  const companion = 'table.csv.header.yaml';
  const whole = readFileSync('sample-logs/foreign-table.csv.header.yaml', 'utf8');
  const spoilt = whole.replace(/thickness: (\S+) \w+/, 'thickness: $1 kg');
  const line = spoilt.split('\n').findIndex((one) => one.includes('thickness:')) + 1;
  before(() => {
    folder = folderWith({
      'table.csv': readFileSync('sample-logs/foreign-table.csv', 'latin1'),
      [companion]: spoilt,
    });
  });
  after(() => removeFolder(folder));

  const check = async (format: string): Promise<string> =>
    (await run(['check', '--format', format, 'table.csv'], { cwd: folder })).out;

  it('is told at its place in that file, whatever the format', async () => {
    assert.match(await check('text'), new RegExp(`^table\\.csv\\.header\\.yaml:${line}:\\d+: error: `, 'm'));
    const { logs } = JSON.parse(await check('json')) as { logs: { problems: { file: string; line: number }[] }[] };
    assert.ok(logs[0]!.problems.some((problem) => problem.file === companion && problem.line === line));
    assert.match(await check('sarif'), /"uri": "table\.csv\.header\.yaml"/);
    assert.match(await check('github'), new RegExp(`^::error file=${companion},line=${line},`, 'm'));
    assert.ok((await check('markdown')).includes(`table.csv.header.yaml:${line} |`));
    await run(['report', 'table.csv', '--output', 'out.html'], { cwd: folder });
    assert.ok(readFileSync(join(folder, 'out.html'), 'utf8').includes(`>${companion}:${line}:`));
    const { err } = await run(['derive', 'table.csv'], { cwd: folder });
    assert.match(err, new RegExp(`table\\.csv\\.header\\.yaml:${line}:\\d+: error`));
  });

  it('is left out against a revision that had it', async () => {
    const git = (...args: string[]): Buffer =>
      execFileSync('git', ['-c', 'user.name=t', '-c', 'user.email=t@example.org', ...args], { cwd: folder });
    git('init', '-q', '-b', 'main');
    git('add', '-A');
    git('commit', '-q', '-m', 'first');
    const { out } = await run(['check', '--against', 'HEAD', 'table.csv'], { cwd: folder });
    assert.doesNotMatch(out, /: error: /);
    assert.match(out, /already in HEAD not shown/);
  });
});

describe('a log that was renamed', () => {
  it('is told where its notes are', async () => {
    const folder = folderWith({ 'new.strain.csv': plateLog() });
    const { logFingerprint } = await import('../../src/core/notes/anchor.ts');
    const first = plateLogLines().slice(lineOfRow(0) - 1, lineOfRow(0) + 7);
    const fingerprint = logFingerprint(first, { delimiter: ',', decimal: '.', timeField: 0 });
    writeFileSync(join(folder, 'old.strain.csv.notes.yaml'), `notes: 1\nfingerprint: "${fingerprint}"\nthreads: []\n`);
    writeFileSync(
      join(folder, 'other.strain.csv.notes.yaml'),
      'notes: 1\nfingerprint: "0123456789abcdef"\nthreads: []\n',
    );
    const { code, out } = await run(['check', 'new.strain.csv'], { cwd: folder });
    assert.equal(code, 0);
    assert.match(
      out,
      /new\.strain\.csv:1:1: warning: The notes in 'old\.strain\.csv\.notes\.yaml' .* \[notes-elsewhere\]/,
    );
    assert.ok(!out.includes("'other.strain.csv"));
    removeFolder(folder);
  });
});
