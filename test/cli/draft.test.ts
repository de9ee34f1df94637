// What a command writes stands in its place whole, and the place stays what it was.
import assert from 'node:assert/strict';
import { chmodSync, lstatSync, readFileSync, readdirSync, statSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { plateLog } from './plateLog.ts';
import { folderWith, removeFolder, run } from './runCommand.ts';

const scenario = readFileSync(new URL('../../sample-logs/scenarios/foreign-table.yaml', import.meta.url), 'utf8');
const log = 'a.strain.csv';

describe('an output that goes through a link', function () {
  this.timeout(60_000);
  let folder = '';
  beforeEach(() => (folder = folderWith({ [log]: plateLog({ rows: 300 }), 's.yaml': scenario })));
  afterEach(() => removeFolder(folder));

  const cases: readonly (readonly [command: string, output: string, argv: readonly string[]])[] = [
    ['check', 'out.txt', ['check', log, '--output', 'out.txt']],
    ['report', 'out.html', ['report', log, '--output', 'out.html']],
    ['derive, as CSV', 'out.csv', ['derive', log, '--all-channels', '--output', 'out.csv']],
    ['derive, as Parquet', 'out.parquet', ['derive', log, '--all-channels', '--output', 'out.parquet']],
    ['simulate', 'out.strain.csv', ['simulate', 's.yaml', '--output', 'out.strain.csv']],
  ];
  for (const [command, output, argv] of cases) {
    it(`of ${command} comes to stand in the file it leads to, whose mode stays`, async () => {
      const file = join(folder, 'kept');
      writeFileSync(file, 'old');
      chmodSync(file, 0o640);
      symlinkSync('kept', join(folder, output));
      const { code, err } = await run(argv, { cwd: folder });
      assert.equal(code, 0, err);
      assert.ok(lstatSync(join(folder, output)).isSymbolicLink());
      assert.equal(statSync(file).mode & 0o777, 0o640);
      assert.notEqual(readFileSync(file, 'utf8'), 'old');
      assert.deepEqual(readdirSync(folder).sort(), [log, 'kept', output, 's.yaml'].sort());
    });
  }
});
