// Which logs a folder or a pattern stands for, where links lead to one file by several ways.
import assert from 'node:assert/strict';
import { mkdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { findLogs } from '../../src/cli/findLogs.ts';
import { folderWith, removeFolder } from './runCommand.ts';

describe('the logs of a folder', () => {
  let folder = '';
  beforeEach(() => {
    folder = folderWith({ 'b.strain.csv': '' });
    mkdirSync(join(folder, 'old'));
    writeFileSync(join(folder, 'old', 'a.strain.csv'), '');
  });
  afterEach(() => removeFolder(folder));
  const found = async (name = '.', cwd = folder): Promise<string[]> =>
    (await findLogs([name], cwd)).map((path) => relative(folder, path).replaceAll('\\', '/'));

  it('are each found once, by their own names, though links go in circles', async () => {
    symlinkSync('.', join(folder, 'a loop'));
    symlinkSync('..', join(folder, 'old', 'up'));
    symlinkSync('old', join(folder, 'also'));
    for (const name of ['.', '**/*.strain.csv']) {
      assert.deepEqual(await found(name), ['b.strain.csv', 'old/a.strain.csv'], name);
    }
  });

  it('are found through links where these alone lead to them, by the shortest way', async () => {
    const elsewhere = folderWith({ 'c.strain.csv': '' });
    symlinkSync(elsewhere, join(folder, 'linked'));
    symlinkSync('linked', join(folder, 'a longer way'));
    symlinkSync(join(elsewhere, 'c.strain.csv'), join(folder, 'old', 'latest.strain.csv'));
    assert.deepEqual(await found(), ['b.strain.csv', 'linked/c.strain.csv', 'old/a.strain.csv']);
    removeFolder(elsewhere);
  });

  it('have their own names where the folder itself is named through a link', async () => {
    symlinkSync('old', join(folder, 'also'));
    symlinkSync('a.strain.csv', join(folder, 'old', 'A latest.strain.csv'));
    assert.deepEqual(await found('also'), ['also/a.strain.csv']);
  });

  it('are several where one table is read by several headers, or several tables by one', async () => {
    for (const name of ['t.csv', 'u.csv', 't.csv.header.yaml']) writeFileSync(join(folder, name), '');
    symlinkSync('t.csv', join(folder, 'v.csv'));
    writeFileSync(join(folder, 'v.csv.header.yaml'), '');
    symlinkSync('t.csv.header.yaml', join(folder, 'u.csv.header.yaml'));
    assert.deepEqual(await found(), ['b.strain.csv', 'old/a.strain.csv', 't.csv', 'u.csv', 'v.csv']);
  });
});
