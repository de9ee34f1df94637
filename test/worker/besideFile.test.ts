import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { analyseFile } from '../../src/worker/analyseFile.ts';
import { companionOf, textOfFile } from '../../src/worker/besideFile.ts';

describe('a file beside a log', () => {
  let folder: string;
  let log: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'underplate-'));
    log = join(folder, 'a.csv');
    writeFileSync(log, 't,x\n0,1\n');
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));

  it('is none where it is absent', async () => {
    assert.equal(await companionOf(log), undefined);
  });

  it('is read where it is there', async () => {
    writeFileSync(`${log}.header.yaml`, 'strain_log: 1\n');
    assert.deepEqual(await companionOf(log), { text: 'strain_log: 1\n', name: 'a.csv.header.yaml' });
  });

  it('is told where it bears almost the right name', async () => {
    for (const wrong of ['a.header.yaml', 'a.csv.header.yml', 'A.csv.Header.yaml']) {
      writeFileSync(join(folder, wrong), 'strain_log: 1\n');
      await assert.rejects(
        companionOf(log),
        (error: Error) => error.message.includes(`'a.csv.header.yaml'; rename '${wrong}'`),
        wrong,
      );
      rmSync(join(folder, wrong));
    }
    writeFileSync(join(folder, 'a.header.yaml'), 'strain_log: 1\n');
    assert.equal(await companionOf(join(folder, 'b.csv')), undefined);
    assert.equal(await companionOf(join(folder, 'a.strain.csv')), undefined);
  });

  it('is told by name where it is there and cannot be read, and a pipe is not waited for', async () => {
    mkdirSync(`${log}.header.yaml`);
    await assert.rejects(
      analyseFile(log),
      /the header beside it, 'a\.csv\.header\.yaml', cannot be read: it is a folder/,
    );
    rmSync(`${log}.header.yaml`, { recursive: true });
    execFileSync('mkfifo', [`${log}.header.yaml`]);
    await assert.rejects(analyseFile(log), /'a\.csv\.header\.yaml', cannot be read: it is no regular file/);
    await assert.rejects(textOfFile(`${log}.header.yaml`), /no regular file/);
  });
});
