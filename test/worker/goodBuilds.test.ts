// Profiles and comparison as asked of a worker, against the text of the logs read apart and the command's own reading.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { readProfile } from '../../src/cli/compare/readProfile.ts';
import type { ProfiledBuild } from '../../src/core/compare/compareBuilds.ts';
import { memorySource } from '../support/memorySource.ts';
import type { GoodBuilds } from '../../src/messages/goodBuilds.ts';
import { goodBuildsFor } from '../../src/worker/goodBuilds.ts';
import { LogAnalysis } from '../../src/worker/logAnalysis.ts';
import { near } from '../support/near.ts';

const { signal } = new AbortController();
const goodNames = ['good-build', 'good-build-2', 'good-build-3'];
const textOf = (name: string): string => readFileSync(`sample-logs/${name}.strain.csv`, 'utf8');

async function profileOf(name: string, text: string): Promise<ProfiledBuild> {
  const analysis = new LogAnalysis({ source: memorySource(new TextEncoder().encode(text)) }, { name, settings: {} });
  await analysis.run(signal);
  return analysis.profile();
}

describe('a comparison in the worker', () => {
  let own: ProfiledBuild;
  let good: ProfiledBuild[];
  let compared: GoodBuilds;
  before(async () => {
    own = await profileOf('release.strain.csv', textOf('release'));
    good = await Promise.all(goodNames.map((name) => profileOf(`${name}.strain.csv`, textOf(name))));
    compared = goodBuildsFor(own, good, 0.95, 1e6);
  });

  it('boils a log down as the command does', async () => {
    const options = { alignment: { by: 'layer' }, settings: {}, believeAll: false, signal } as const;
    const { profile } = await readProfile('sample-logs/release.strain.csv', options);
    assert.deepEqual(own.profile, profile);
    const sick = await readProfile('sample-logs/sick-sensor.strain.csv', options);
    assert.ok(sick.profile.sick.length > 0);
    assert.deepEqual((await profileOf('sick-sensor.strain.csv', textOf('sick-sensor'))).profile, sick.profile);
  });

  it('names the line and time where the log is farthest out: the first row of that layer', () => {
    const lines = textOf('release').split('\n');
    const namesLine = lines.findIndex((line) => /^time/.test(line));
    const names = lines[namesLine]!.split(',');
    const [time, layer] = ['time', 'layer'].map((role) => names.findIndex((name) => name.startsWith(role))) as [
      number,
      number,
    ];
    for (const run of compared.outside) {
      const first = lines.findIndex((line, at) => at > namesLine && Number(line.split(',')[layer]) === run.worstLayer);
      assert.equal(run.worstLine, first + 1);
      assert.equal(run.worstS, Number(lines[first]!.split(',')[time]));
      assert.ok(run.howFar > 1);
      near(Math.abs(run.value - run.centre) / run.halfWidth, run.howFar, 1e-9);
    }
    assert.ok(compared.outside.length > 0);
  });

  it('draws bands of finite edges whose layers follow each other', () => {
    for (const { fromS, toS, low, high } of compared.bands) {
      fromS.forEach((start, at) => {
        assert.ok(low[at]! < high[at]! && toS[at]! >= start);
        if (at > 0) assert.ok(toS[at - 1]! <= start);
      });
    }
    assert.equal(compared.bands.length, own.profile.traces.length);
  });

  it('says what it lacks: builds, cells in common, layers', async () => {
    assert.throws(() => goodBuildsFor(own, good.slice(1, 2), 0.95, 1e6), /two good builds at least/);
    const renamed = good.map((one) => ({
      ...one,
      profile: { ...one.profile, traces: one.profile.traces.map((trace) => ({ ...trace, id: `other_${trace.id}` })) },
    }));
    assert.throws(() => goodBuildsFor(own, renamed, 0.95, 1e6), /no cell and layer in common with the good builds/);
    await assert.rejects(profileOf('empty.strain.csv', ''), /'empty.strain.csv' cannot be compared/);
  });
});
