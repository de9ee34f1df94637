// The sample logs in the repository are what their scenarios give, bit for bit, on this machine too.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { headerMistakes, sampleFiles } from '../support/sampleLogs.ts';

const folder = new URL('../../sample-logs/', import.meta.url);

describe('sample logs', () => {
  for (const [name, text] of sampleFiles()) {
    it(`${name} is as its scenario makes it`, () => {
      const stored = readFileSync(new URL(name, folder), 'utf8');
      assert.ok(stored === text, `${name} differs from its scenario; run 'npm run samples' and look at the change`);
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
