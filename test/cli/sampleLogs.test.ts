// The sample logs in the repository are what their scenarios give, bit for bit, on this machine too.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { run } from './runCommand.ts';
import { headerMistakes, sampleFiles } from '../support/sampleLogs.ts';

const folder = new URL('../../sample-logs/', import.meta.url);

describe('sample logs', () => {
  for (const [name, text] of sampleFiles()) {
    it(`${name} is as its scenario makes it`, () => {
      const stored = readFileSync(new URL(name, folder), 'utf8');
      assert.ok(stored === text, `${name} differs from its scenario; run 'npm run samples' and look at the change`);
    });
  }

  // As its README says: all that truly happens is found but a slow lift, and the cooling while the laser stops.
  for (const [name, missed] of [
    ['release.strain.csv', []],
    ['sick-sensor.strain.csv', []],
    ['two-planes.strain.csv', []],
    ['strike.strain.csv', ['creep-off']],
    ['foreign-table.csv', ['heat']],
  ] as const) {
    it(`${name} has what is found, and ${missed.length === 0 ? 'nothing' : missed.join()} that is missed`, async () => {
      const truth = `truth/${name.split('.')[0]}.yaml`;
      const { code, out } = await run(['score', name, '--truth', truth], { cwd: fileURLToPath(folder) });
      assert.equal(code, 0);
      const table = out.slice(out.indexOf('Reported as:'));
      const kinds = [...table.matchAll(/^ +(\S+) .*missed/gm)].map(([, kind]) => kind);
      assert.deepEqual(kinds, missed);
      assert.match(out, /false mechanical alarms +0,/);
    });
  }

  it('are small', () => {
    for (const [name, text] of sampleFiles()) assert.ok(text.length < 1.5e6, `${name} has ${text.length} bytes`);
  });

  it('the README lists every log and every mistake', () => {
    const readme = readFileSync(new URL('README.md', folder), 'utf8');
    for (const name of sampleFiles().keys()) {
      if (!name.startsWith('truth/')) assert.ok(readme.includes(name), name);
    }
    assert.equal(readme.match(/^\d+\. /gm)?.length, headerMistakes.length);
  });
});
