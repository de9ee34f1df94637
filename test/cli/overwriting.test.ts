// No command writes over what it reads.
import assert from 'node:assert/strict';
import { linkSync, readFileSync, readdirSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { plateLog } from './plateLog.ts';
import { folderWith, removeFolder, run } from './runCommand.ts';

const scenario = readFileSync(new URL('../../sample-logs/scenarios/foreign-table.yaml', import.meta.url), 'utf8');

describe('what a command reads is never written over', () => {
  let folder = '';
  const files = {
    'a.strain.csv': plateLog(),
    'b.strain.csv': plateLog(),
    'c.strain.csv': plateLog(),
    'a.strain.csv.notes.yaml': 'notes: 1\nthreads: []\n',
    't.yaml': 'truth: 1\nevents: []\n',
    's.yaml': scenario,
  };
  before(() => {
    folder = folderWith(files);
    symlinkSync('a.strain.csv', join(folder, 'link.csv'));
    linkSync(join(folder, 'a.strain.csv'), join(folder, 'hard.csv'));
  });
  after(() => removeFolder(folder));

  const a = 'a.strain.csv';
  const cases: readonly (readonly [name: string, argv: readonly string[], told: RegExp])[] = [
    ['check, the log', ['check', a, '-o', a], /--output names the log itself; name another file/],
    ['check, another spelling', ['check', a, '-o', `./x/../${a}`], /names the log itself/],
    ['check, a link to the log', ['check', a, '-o', 'link.csv'], /names the log itself/],
    ['check, its other name', ['check', a, '-o', 'hard.csv'], /names the log itself/],
    ['check, the notes', ['check', a, '-o', `${a}.notes.yaml`], /names the log's notes/],
    ['score, the log', ['score', a, '--truth', 't.yaml', '-o', a], /names the log itself/],
    ['score, the truth', ['score', a, '--truth', 't.yaml', '-o', 't.yaml'], /names the truth/],
    ['compare, the log', ['compare', a, '--with', 'b.strain.csv', 'c.strain.csv', '-o', a], /names the log itself/],
    [
      'compare, a good build',
      ['compare', a, '--with', 'b.strain.csv', 'c.strain.csv', '-o', 'c.strain.csv'],
      /names one of the good builds/,
    ],
    ['report, the notes', ['report', a, '-o', `${a}.notes.yaml`], /names the log's notes/],
    ['derive, the log through a link', ['derive', a, '-o', 'link.csv'], /names the log itself/],
    ['simulate, the scenario', ['simulate', 's.yaml', '--output', 's.yaml'], /--output names the scenario/],
    ['simulate, the scenario as truth', ['simulate', 's.yaml', '--output', 'o', '--truth', 's.yaml'], /--truth names/],
    [
      'simulate, both into one',
      ['simulate', 's.yaml', '--output', 'o', '--truth', './o'],
      /names the file of --output/,
    ],
  ];
  for (const [name, argv, told] of cases) {
    it(name, async () => {
      const { code, out, err } = await run(argv, { cwd: folder });
      assert.equal(code, 2);
      assert.equal(out, '');
      assert.match(err, told);
      for (const [file, text] of Object.entries(files)) assert.equal(readFileSync(join(folder, file), 'utf8'), text);
      assert.equal(readdirSync(folder).length, Object.keys(files).length + 2);
    });
  }
});
