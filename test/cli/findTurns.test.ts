import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { lineOfRow, plateLog, rowsPerLayer } from './plateLog.ts';
import { folderWith, removeFolder, run } from './runCommand.ts';

const script = fileURLToPath(new URL('../../sample-logs/find_turns.py', import.meta.url));

function findPython(): string | undefined {
  const candidates = [process.env['PYTHON'], 'python3', '/usr/bin/python3'].filter((name) => name !== undefined);
  return candidates.find((name) => spawnSync(name, ['-c', 'import astropy, pandas']).status === 0);
}

describe('the example script in Python', function () {
  this.timeout(120_000);
  let folder = '';
  let python = '';
  before(function () {
    const found = findPython();
    if (found === undefined) {
      console.log('    not run: no python3 with astropy and pandas; install them, or set PYTHON');
      this.skip();
    }
    python = found;
    folder = folderWith({
      'quiet.strain.csv': plateLog({ drift: -3 }),
      'step.strain.csv': plateLog({ drift: -3, steps: [{ at: 600, cell: 1, size: 60 }] }),
    });
  });
  after(() => {
    if (folder !== '') removeFolder(folder);
  });

  async function warnings(log: string): Promise<string[]> {
    const { code } = await run(['derive', log, '--output', 'derived.csv'], { cwd: folder });
    assert.equal(code, 0);
    const { status, stdout, stderr } = spawnSync(python, [script, log, 'derived.csv'], {
      cwd: folder,
      encoding: 'utf8',
    });
    assert.equal(status, 0, stderr);
    return stdout
      .trimEnd()
      .split('\n')
      .filter((line) => line !== '');
  }

  it('finds the turn at the first line of its layer, in the form that the problem matcher reads', async () => {
    const manifest = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8')) as {
      contributes: { problemMatchers: { name: string; pattern: { regexp: string } }[] };
    };
    const matcher = manifest.contributes.problemMatchers.find(({ name }) => name === 'underplate-script')!;
    const lines = await warnings('step.strain.csv');
    const own = lines.find((line) => line.includes('B1_up'))!;
    const [, file, line, level] = new RegExp(matcher.pattern.regexp).exec(own) ?? [];
    assert.deepEqual([file, Number(line), level], ['step.strain.csv', lineOfRow(600), 'warning']);
    assert.match(own, new RegExp(`from layer ${600 / rowsPerLayer} on$`));
  });

  it('finds none in a log without one', async () => {
    assert.deepEqual(await warnings('quiet.strain.csv'), []);
  });
});
