import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';

const root = join(import.meta.dirname, '../..');

describe('building in part', function () {
  this.timeout(60_000);
  let folder = '';
  /** The house beside its own `dist`. */
  before(() => {
    folder = mkdtempSync(join(tmpdir(), 'underplate-build-'));
    for (const file of ['build.mjs', 'package.json', 'package-lock.json']) {
      copyFileSync(join(root, file), join(folder, file));
    }
    for (const part of ['.config', 'src', 'webview', 'node_modules'])
      symlinkSync(join(root, part), join(folder, part), 'junction');
  });
  after(() => rmSync(folder, { recursive: true, force: true }));

  it('makes the bundles named anew and leaves all others where they are', () => {
    const others = ['extension/main.mjs', 'extension/main.web.js', 'worker/scanThread.mjs', 'chunks/old.mjs'];
    for (const file of [...others, 'extension/start.cjs']) {
      mkdirSync(dirname(join(folder, 'dist', file)), { recursive: true });
      writeFileSync(join(folder, 'dist', file), 'old');
    }
    const { status, stderr } = spawnSync(process.execPath, ['build.mjs', 'build', 'extension/start'], {
      cwd: folder,
      encoding: 'utf8',
    });
    assert.equal(status, 0, stderr);
    const built = readFileSync(join(folder, 'dist/extension/start.cjs'), 'utf8');
    assert.ok(built.length > 100);
    for (const file of others) assert.ok(existsSync(join(folder, 'dist', file)), file);
  });
});
