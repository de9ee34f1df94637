import assert from 'node:assert/strict';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { cellNames, lineOfRow, plateLog, rowsPerLayer, wanderingLog } from '../plateLog.ts';
import { folderWith, removeFolder, run } from '../runCommand.ts';

interface Compared {
  readonly schema: string;
  readonly aligned_by: string;
  readonly compared: number;
  readonly outside: number;
  readonly excursions: readonly {
    component: string;
    cell: string;
    line: number;
    from: number;
    to: number;
    value_microstrain: number;
    centre_microstrain: number;
    half_width_microstrain: number;
    half_widths: number;
  }[];
  readonly cautions: readonly string[];
}

describe('underplate compare', function () {
  this.timeout(120_000);
  let folder = '';
  const step = { at: 600, cell: 1, size: 60 } as const;
  before(() => {
    folder = folderWith({
      'good-1.strain.csv': plateLog({ seed: 11, drift: -1 }),
      'good-2.strain.csv': plateLog({ seed: 12, drift: -1.02 }),
      'good-3.strain.csv': plateLog({ seed: 13, drift: -0.98 }),
      'alike.strain.csv': plateLog({ seed: 14, drift: -1.01 }),
      'step.strain.csv': plateLog({ seed: 15, drift: -1, steps: [step] }),
      'moved.strain.csv': plateLog({ seed: 16, drift: -1 }).replace('B2: {at: [100 mm', 'B2: {at: [104 mm'),
      'no-layer.strain.csv': plateLog({ seed: 17, drift: -1 })
        .replace(/layer, datatype/, 'depth, datatype')
        .replace('time,layer', 'time,depth'),
      'broken.strain.csv': plateLog().replace('thickness: 25 mm', 'thickness: 25'),
    });
  });
  after(() => removeFolder(folder));

  async function json(...argv: string[]): Promise<Compared & { code: number }> {
    const { code, out, err } = await run(['compare', ...argv, '--format', 'json'], { cwd: folder });
    assert.equal(err, '');
    return { ...(JSON.parse(out) as Compared), code };
  }

  it('finds a build like the good ones inside their band', async () => {
    const { schema, code, compared, excursions } = await json('alike.strain.csv', '--with', 'good-*.strain.csv');
    assert.deepEqual([schema, code, excursions], ['underplate-compare/1', 0, []]);
    // Nine cells of three components over thirty layers.
    assert.equal(compared, 9 * 3 * 30);
  });

  it('finds the cell, the layers and how far a step lies outside', async () => {
    const { code, excursions } = await json(
      'step.strain.csv',
      '--with',
      'good-1.strain.csv',
      'good-2.strain.csv',
      'good-3.strain.csv',
    );
    assert.equal(code, 1);
    const [farthest] = excursions;
    const layer = step.at / rowsPerLayer;
    assert.deepEqual(
      [farthest?.component, farthest?.cell, farthest?.from, farthest?.to],
      [`B1_up_ey`, cellNames[step.cell], layer, 29],
    );
    assert.equal(farthest?.line, lineOfRow(step.at));
    assert.ok(Math.abs(farthest.value_microstrain - farthest.centre_microstrain - step.size) < 3);
    const { value_microstrain: value, centre_microstrain: centre, half_width_microstrain: half } = farthest;
    assert.ok(Math.abs((farthest.half_widths * half) / (value - centre) - 1) < 0.05, 'as far as rounding tells');
    // Neighbours get 0.35 of it, the cells beyond nothing.
    assert.ok(excursions.some(({ cell }) => cell === 'B2'));
    assert.deepEqual(
      excursions.filter(({ cell }) => cell === 'C3'),
      [],
    );
  });

  it('tells it as lines to click, in Markdown, and by time', async () => {
    const text = await run(['compare', 'step.strain.csv', '--with', 'good-*.strain.csv'], { cwd: folder });
    assert.match(
      text.out,
      /^step\.strain\.csv:\d+:1: warning: B1 up lies outside good builds in layers 20 to 29, .* half-widths.* \[outside-band\]$/m,
    );
    assert.match(text.out, /with 3 good builds their spread is known to about ±50 %/);
    const markdown = await run(['compare', 'step.strain.csv', '--format', 'markdown', '--with', 'good-*.strain.csv'], {
      cwd: folder,
    });
    assert.match(markdown.out, /^\| B1\\_up\\_ey \| layers 20 to 29 \|/m);
    const byTime = await json('step.strain.csv', '--with', 'good-*.strain.csv', '--by', 'time', '--stretch', '60');
    assert.equal(byTime.aligned_by, 'time');
    assert.equal(byTime.excursions[0]?.from, step.at / 60);
    assert.equal(
      (await run(['compare', 'step.strain.csv', '--fail-on', 'never', '--with', 'good-*.strain.csv'], { cwd: folder }))
        .code,
      0,
    );
  });

  it('says so where nothing lies outside for long enough to be told', async () => {
    const argv = ['compare', 'step.strain.csv', '--by', 'time', '--stretch', '1e9', '--with', 'good-*.strain.csv'];
    const { code, out } = await run(argv, { cwd: folder });
    assert.equal(code, 0);
    assert.match(out, /\d+ of 27 stretch values .* outside .*; nowhere in 3 stretches on end, so none is told$/m);
  });

  it('tells the share by chance with the digits it has', async () => {
    for (const [coverage, share] of [
      ['99.9', '0.1'],
      ['99.99', '0.01'],
      ['97.5', '2.5'],
      ['95', '5'],
    ] as const) {
      const argv = ['compare', 'alike.strain.csv', '--coverage', coverage, '--with', 'good-*.strain.csv'];
      const { out } = await run(argv, { cwd: folder });
      assert.ok(out.includes(` ${share} % would be by chance`), out);
    }
  });

  it('counts what reaches beyond the good builds in its own kind', async () => {
    const beyond = async (rows: number, ...argv: string[]): Promise<string> => {
      writeFileSync(join(folder, 'longer.strain.csv'), plateLog({ rows, drift: -1 }));
      return (await run(['compare', 'longer.strain.csv', ...argv, '--with', 'good-*.strain.csv'], { cwd: folder })).out;
    };
    assert.match(await beyond(930), /; 1 layer reaches beyond the good builds and was not compared/);
    assert.match(await beyond(960), /; 2 layers reach beyond the good builds and were not compared/);
    assert.match(await beyond(1020, '--by', 'time'), /; 2 stretches reach beyond .* were not compared/);
  });

  it('warns of a good build that is none, and of cells at other places', async () => {
    const { cautions } = await json(
      'alike.strain.csv',
      '--with',
      'good-*.strain.csv',
      'step.strain.csv',
      'moved.strain.csv',
    );
    assert.ok(
      cautions.some((text) => text.startsWith('step.strain.csv itself lies outside')),
      cautions.join('\n'),
    );
    assert.ok(!cautions.some((text) => text.startsWith('good-1')));
    assert.ok(cautions.includes('moved.strain.csv has cells at other places: B2'));
  });

  it('warns of cells whose heat counts as strain, in a good build too', async () => {
    const heated = plateLog({ seed: 12, drift: -1.02 }).replaceAll(/(B2_up_\d+: .*), compensated: true/g, '$1');
    writeFileSync(join(folder, 'heated.strain.csv'), heated);
    const good = ['--with', 'good-1.strain.csv', 'heated.strain.csv', 'good-3.strain.csv'];
    const { out } = await run(['compare', 'alike.strain.csv', ...good], { cwd: folder });
    assert.match(out, /heated\.strain\.csv: no channel tells the temperature of B2, so heat counts as strain there/);
    assert.equal(out.match(/no channel tells the temperature/g)?.length, 1);
  });

  describe('of a cell with a channel that wanders', () => {
    const rows = 1500;
    let logs = '';
    before(() => {
      const sound = [21, 22, 23, 24].map((seed) => plateLog({ rows, seed, directions: [0, 45, 90, 135] }));
      const good = sound.map((text, at) => [`good-${at + 1}.strain.csv`, text] as const);
      logs = folderWith({ ...Object.fromEntries(good), 'wanders.strain.csv': wanderingLog(rows) });
    });
    after(() => removeFolder(logs));

    async function compared(...argv: string[]): Promise<Compared> {
      return JSON.parse((await run(['compare', ...argv, '--format', 'json'], { cwd: logs })).out) as Compared;
    }
    const said = /^wanders\.strain\.csv: B2 without B2_up_45 from layer \d+: wander$/;

    it('leaves the channel out and says so', async () => {
      const { excursions, cautions } = await compared('wanders.strain.csv', '--with', 'good-*.strain.csv');
      assert.deepEqual(excursions, []);
      assert.equal(cautions.filter((text) => said.test(text)).length, 1, cautions.join('\n'));
    });

    it('leaves it out of a good build too, so that the band stays narrow', async () => {
      const argv = ['good-1.strain.csv', '--with', 'good-[2-4].strain.csv', 'wanders.strain.csv'];
      const without = await compared(...argv);
      assert.equal(without.cautions.filter((text) => said.test(text)).length, 1, without.cautions.join('\n'));
      const odd = /^wanders\.strain\.csv itself lies outside/;
      assert.ok(!without.cautions.some((text) => odd.test(text)));
      assert.ok((await compared(...argv, '--all-channels')).cautions.some((text) => odd.test(text)));
    });

    it('uses it all the same where every channel is to be used, and then says nothing', async () => {
      const argv = ['wanders.strain.csv', '--with', 'good-*.strain.csv', '--all-channels'];
      const { excursions, cautions } = await compared(...argv);
      assert.ok(excursions.length > 0 && excursions.every(({ cell }) => cell === 'B2'), JSON.stringify(excursions));
      assert.deepEqual(cautions, ['with 4 good builds their spread is known to about ±41 %']);
    });
  });

  for (const [title, argv, message] of [
    ['one good build only', ['alike.strain.csv', '--with', 'good-1.strain.csv'], /two good builds at least/],
    ['no good build', ['alike.strain.csv'], /name the good builds after --with/],
    ['no log', ['--with', 'good-1.strain.csv', 'good-2.strain.csv'], /name one log before --with/],
    [
      'the log itself as a good one',
      ['good-1.strain.csv', '--with', 'good-1.strain.csv', 'good-2.strain.csv'],
      /two good builds/,
    ],
    [
      'a log without layers',
      ['no-layer.strain.csv', '--with', 'good-*.strain.csv'],
      /no layer column; compare by time instead/,
    ],
    [
      'a header with errors',
      ['broken.strain.csv', '--with', 'good-*.strain.csv'],
      /'broken\.strain\.csv' cannot be compared: line \d+: /,
    ],
    [
      'a coverage that is none',
      ['alike.strain.csv', '--coverage', '120', '--with', 'good-*.strain.csv'],
      /--coverage needs a number from 50 to 99\.99/,
    ],
  ] as const) {
    it(`refuses ${title}`, async () => {
      const { code, err, out } = await run(['compare', ...argv], { cwd: folder });
      assert.deepEqual([code, out], [2, '']);
      assert.match(err, message);
    });
  }
});
