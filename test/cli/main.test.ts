import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { existsSync, openSync, closeSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { plateLog } from './plateLog.ts';
import { folderWith, removeFolder } from './runCommand.ts';

const root = fileURLToPath(new URL('../../', import.meta.url));
/** A device of Linux on which every write fails for want of room. */
const fullDisk = '/dev/full';

describe('the program with its output on a full disk', function () {
  this.timeout(60_000);
  let folder = '';
  before(function () {
    if (!existsSync(fullDisk)) this.skip();
    folder = folderWith({ 'a.strain.csv': plateLog({ rows: 300 }) });
  });
  after(() => removeFolder(folder));

  for (const command of ['check', 'derive', 'report'] as const) {
    it(`says so in one line and leaves with 2: ${command}`, () => {
      const full = openSync(fullDisk, 'w');
      const page = command === 'report' ? ['--output', '-'] : [];
      const { status, stderr } = spawnSync(
        process.execPath,
        [
          '--import',
          join(root, 'node_modules/tsx/dist/esm/index.mjs'),
          join(root, 'src/cli/main.ts'),
          command,
          'a.strain.csv',
          ...page,
        ],
        { cwd: folder, stdio: ['ignore', full, 'pipe'], encoding: 'utf8' },
      );
      closeSync(full);
      assert.equal(stderr, 'underplate: the output could not be written: the disk is full\n');
      assert.equal(status, 2);
    });
  }
});
