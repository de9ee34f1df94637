// `underplate simulate` as a command: files, places of mistakes, exit codes.
import assert from 'node:assert/strict';
import { existsSync, readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { setImmediate } from 'node:timers/promises';
import { ReaderGone } from '../../../src/cli/command.ts';
import { folderWith, removeFolder, run } from '../runCommand.ts';

const scenario = `scenario: 1
seed: 5
build: {layers: 4}
warm_up: 90 s
plate: {size: [200 mm, 150 mm], thickness: 25 mm}
cells: {A1: [60 mm, 50 mm], B1: [140 mm, 50 mm]}
events:
- {kind: crack, at: {layer: 2, after: 5 s}, size: 30 um/m, origin: [62 mm, 52 mm]}
`;

describe('underplate simulate', () => {
  let folder = '';
  before(() => {
    folder = folderWith({
      'tray.yaml': scenario,
      'long.yaml': scenario.replace('layers: 4', 'layers: 20000'),
      'wrong.yaml': scenario.replace('thickness: 25 mm', 'thickness: 25'),
    });
  });
  after(() => removeFolder(folder));
  const text = (name: string): string => readFileSync(join(folder, name), 'utf8');

  it('writes the log and its truth', async () => {
    const { code, err } = await run(['simulate', 'tray.yaml', '--output', 'a.strain.csv', '--truth', 'a.truth.yaml'], {
      cwd: folder,
    });
    assert.deepEqual({ code, err }, { code: 0, err: '' });
    assert.ok(text('a.strain.csv').startsWith('# %ECSV 1.0\n# ---\n'));
    assert.match(text('a.truth.yaml'), /kind: crack[\s\S]*origin_mm: \[62, 52\][\s\S]*cell: A1/);
    assert.deepEqual(
      readdirSync(folder).filter((name) => name.startsWith('.')),
      [],
      'no draft is left',
    );
  });

  it('gives the same bytes again, and others with another seed', async () => {
    await run(['simulate', 'tray.yaml', '-o', 'b.strain.csv'], { cwd: folder });
    await run(['simulate', 'tray.yaml', '-o', 'c.strain.csv', '--seed', '6'], { cwd: folder });
    assert.equal(text('b.strain.csv'), text('a.strain.csv'));
    assert.notEqual(text('c.strain.csv'), text('a.strain.csv'));
    assert.equal(text('c.strain.csv').split('\n')[1], text('a.strain.csv').split('\n')[1]);
  });

  it("writes to the terminal with '-'", async () => {
    const { out } = await run(['simulate', 'tray.yaml', '-o', '-'], { cwd: folder });
    assert.equal(out, text('a.strain.csv'));
  });

  it('writes a log that check reads without a problem, and finds the crack in it', async () => {
    const { out } = await run(['check', 'a.strain.csv', '--format', 'json', '--fail-on', 'never'], { cwd: folder });
    const [log] = (JSON.parse(out) as { logs: { problems: { severity: string }[]; rows: number }[] }).logs;
    assert.deepEqual(
      log!.problems.filter(({ severity }) => severity !== 'information'),
      [],
    );
    assert.equal(
      log!.rows,
      text('a.strain.csv')
        .split('\n')
        .filter((line) => /^\d/.test(line)).length,
    );
  });

  it('tells a mistake by file, line and column, and writes nothing', async () => {
    const { code, err } = await run(['simulate', 'wrong.yaml', '-o', 'd.strain.csv'], { cwd: folder });
    assert.equal(code, 2);
    assert.match(err, /^wrong\.yaml:5:44: plate\.thickness: '25' is no length; write a number with its unit/);
    assert.equal(existsSync(join(folder, 'd.strain.csv')), false);
  });

  it('refuses wrong use', async () => {
    for (const [argv, message] of [
      [['simulate'], /name one scenario/],
      [['simulate', 'tray.yaml'], /--output/],
      [['simulate', 'tray.yaml', 'tray.yaml', '-o', 'x'], /name one scenario/],
      [['simulate', 'tray.yaml', '-o', 'x', '--seed', 'many'], /--seed needs a whole number/],
      [['simulate', 'absent.yaml', '-o', 'x'], /'absent\.yaml' could not be read: there is no such file/],
      [['simulate', 'tray.yaml', '-o', 'nowhere/x.strain.csv'], /could not be written: its folder does not exist/],
    ] as const) {
      const { code, err } = await run(argv, { cwd: folder });
      assert.equal(code, 2, argv.join(' '));
      assert.match(err, message);
    }
  });

  it('takes it for no failure that its reader went away, but for one that it was stopped', async () => {
    const stopped = async (why: Error) => {
      const stop = new AbortController();
      stop.abort(why);
      return run(['simulate', 'tray.yaml', '-o', '-'], { cwd: folder, signal: stop.signal });
    };
    const gone = await stopped(new ReaderGone('nobody reads any more'));
    assert.deepEqual([gone.code, gone.err], [0, '']);
    const { code, err } = await stopped(new Error('stopped by the user'));
    assert.deepEqual([code, err], [2, 'underplate simulate: stopped by the user\n']);
  });

  it('stops when asked and leaves nothing behind', async () => {
    const stop = new AbortController();
    const running = run(['simulate', 'long.yaml', '-o', 'e.strain.csv'], { cwd: folder, signal: stop.signal });
    while (!readdirSync(folder).some((name) => name.startsWith('.e.strain.csv.'))) await setImmediate();
    stop.abort(new Error('stopped by the user'));
    const { code, err } = await running;
    assert.equal(code, 2);
    assert.match(err, /stopped before the end; nothing was written/);
    assert.deepEqual(
      readdirSync(folder).filter((name) => name.includes('e.strain.csv')),
      [],
    );
  });
});
