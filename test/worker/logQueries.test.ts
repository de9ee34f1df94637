import assert from 'node:assert/strict';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { tmpdir } from 'node:os';
import { analyseFile } from '../../src/worker/analyseFile.ts';

describe('an excerpt of a log that no analysis could read', () => {
  let folder = '';
  before(() => (folder = mkdtempSync(join(tmpdir(), 'excerpt-'))));
  after(() => rmSync(folder, { recursive: true, force: true }));

  it('holds its first lines', async () => {
    const path = join(folder, 'export.csv');
    writeFileSync(path, 'time,T\n0,20\n1,21\n');
    writeFileSync(`${path}.header.yaml`, 'strain_log: 1\nchannels: {U: {kind: temperature}}\n');
    const analysis = await analyseFile(path);
    try {
      assert.equal(analysis.session.index, undefined);
      assert.deepEqual(await analysis.calls.excerpt({ line: 1, before: 0, after: 1 }), {
        firstLine: 1,
        lines: ['time,T', '0,20'],
      });
      assert.deepEqual((await analysis.calls.excerpt({ line: 3, before: 1, after: 9 })).lines, ['0,20', '1,21']);
    } finally {
      await analysis.close();
    }
  });
});
