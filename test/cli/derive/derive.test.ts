import assert from 'node:assert/strict';
import { mkdtemp, readFile, readdir, rm, truncate, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { asyncBufferFromFile, parquetMetadataAsync, parquetReadObjects } from 'hyparquet';
import { lineOfRow, plateLog } from '../plateLog.ts';
import { run } from '../runCommand.ts';
import { ecsv } from '../readEcsv.ts';

const sample = resolve('sample-logs/two-planes.strain.csv');
const foreign = resolve('sample-logs/foreign-table.csv');

describe('underplate derive', function () {
  this.timeout(60_000);
  let folder = '';
  beforeEach(async () => (folder = await mkdtemp(join(tmpdir(), 'derive-'))));
  afterEach(() => rm(folder, { recursive: true, force: true }));
  const derive = (...argv: string[]): ReturnType<typeof run> => run(['derive', ...argv], { cwd: folder });

  it('of a log without rows writes the names alone and does not pass', async () => {
    await writeFile(join(folder, 'norows.strain.csv'), plateLog({ rows: 0 }));
    const { code, out, err } = await derive('norows.strain.csv');
    assert.equal(code, 2);
    assert.deepEqual(ecsv(out).rows, []);
    assert.match(err, /no row of 'norows\.strain\.csv' could be read, .* wait until it has rows/m);
  });

  it('writes one row per row of the log, columns with units, and nothing that is no number', async () => {
    const { code, out } = await derive(sample);
    assert.equal(code, 0);
    const { header, rows, text } = ecsv(out);
    const logRows = (await readFile(sample, 'utf8')).split('\n').filter((line) => /^[\d.]+,/.test(line));
    assert.equal(rows.length, logRows.length);
    assert.deepEqual(
      header.datatype.map(({ name }) => name),
      Object.keys(rows[0]!),
    );
    const unit = (name: string): string | undefined => header.datatype.find((column) => column.name === name)?.unit;
    assert.deepEqual(['time', 'A1_up_e1', 'A1_up_dir', 'A1_up_vm', 'A1_kx', 'A1_nx', 'A1_mx'].map(unit), [
      's',
      'um/m',
      'deg',
      'MPa',
      '1/m',
      'N/m',
      'N m/m',
    ]);
    assert.doesNotMatch(text.slice(text.indexOf('\ntime,')), /nan|inf|undefined|null/i);
    for (const row of rows)
      for (const value of Object.values(row)) assert.ok(value === '' || Number.isFinite(Number(value)));
    assert.ok(
      rows.some((row) => row['A1_low_dir'] === '' && row['A1_low_ex'] !== ''),
      'an undefined direction is empty',
    );
  });

  it('writes to Parquet what it writes to CSV, null for empty, with units beside it', async () => {
    await derive(sample, '--output', 'out.csv');
    await derive(sample, '--output', 'out.parquet');
    const { rows } = ecsv(await readFile(join(folder, 'out.csv'), 'utf8'));
    const file = await asyncBufferFromFile(join(folder, 'out.parquet'));
    const stored = await parquetReadObjects({ file });
    assert.equal(stored.length, rows.length);
    stored.forEach((record, i) => {
      for (const [name, text] of Object.entries(rows[i]!)) {
        const value = record[name] as number | null;
        if (text === '') assert.equal(value, null, name);
        else assert.ok(Math.abs(value! - Number(text)) <= 1e-9 * Math.abs(value!), `${name}: ${value} ${text}`);
      }
    });
    const { key_value_metadata: pairs } = await parquetMetadataAsync(file);
    const units = JSON.parse(pairs!.find(({ key }) => key === 'units')!.value!) as Record<string, string>;
    assert.equal(units['A1_mx'], 'N m/m');
    assert.deepEqual((await readdir(folder)).sort(), ['out.csv', 'out.parquet'], 'no draft is left');
  });

  it('writes the quantities asked for, and derived series', async () => {
    const { out } = await derive(sample, '--columns', 'vm,net_mx', '--derive', 'twice = 2 * time');
    const { header, rows } = ecsv(out);
    const names = header.datatype.map(({ name }) => name);
    assert.ok(
      names.every((name) => /^(time|layer|twice|plate_net_mx|\w+_vm)$/.test(name)),
      names.join(),
    );
    assert.equal(header.datatype.find(({ name }) => name === 'twice')!.unit, 's');
    assert.equal(Number(rows[5]!['twice']), 2 * Number(rows[5]!['time']));
  });

  it('by layer tells means and rises that follow from the rows', async () => {
    const byRow = ecsv((await derive(sample, '--columns', 'ex')).out).rows;
    const byLayer = ecsv((await derive(sample, '--columns', 'ex', '--by-layer')).out).rows;
    const layers = [...new Set(byRow.map((row) => row['layer']))];
    assert.deepEqual(
      byLayer.map((row) => row['layer']),
      layers,
    );
    const means = layers.map((layer) => {
      const values = byRow.filter((row) => row['layer'] === layer && row['A1_up_ex'] !== '');
      return values.reduce((sum, row) => sum + Number(row['A1_up_ex']), 0) / values.length;
    });
    byLayer.forEach((row, i) => assert.ok(Math.abs(Number(row['A1_up_ex']) - means[i]!) < 1e-6));
    assert.equal(byLayer[0]!['A1_up_ex_rate'], '');
    assert.equal(byLayer[1]!['A1_up_ex_rate_err'], '');
    assert.ok(Math.abs(Number(byLayer[1]!['A1_up_ex_rate']) - (means[1]! - means[0]!)) < 1e-6);
  });

  it('reads a foreign table through its companion', async () => {
    const { code, out } = await derive(foreign, '--columns', 'e1');
    assert.equal(code, 0);
    assert.ok(ecsv(out).rows.length > 100);
  });

  it('takes another window as zero', async () => {
    const { out } = await derive(sample, '--columns', 'ex', '--datum', '1000:1100');
    const inside = ecsv(out).rows.filter(({ time }) => Number(time) >= 1000 && Number(time) <= 1100);
    const mean = inside.reduce((sum, row) => sum + Number(row['A1_up_ex']), 0) / inside.length;
    assert.ok(Math.abs(mean) < 1, String(mean));
  });

  const wrong: [why: string, argv: string[], message: RegExp][] = [
    ['no log', [], /name one log/],
    ['a missing log', ['nowhere.strain.csv'], /there is no file 'nowhere.strain.csv'/],
    ['another kind of file', [sample, '--output', 'x.xlsx'], /must end in \.csv or \.parquet/],
    ['the log itself as output', [sample, '--output', sample], /names the log itself/],
    ['an unknown quantity', [sample, '--columns', 'e3'], /no quantity 'e3'/],
    ['directions by layer', [sample, '--by-layer', '--columns', 'dir'], /direction and has no mean by layer/],
    [
      'a wrong expression',
      [sample, '--derive', 'a = time + Q9'],
      /no column is named 'Q9'(.|\n)*\n {2}time \+ Q9\n {9}\^/,
    ],
    ['a series that is no number anywhere', [sample, '--derive', 'a = 1/0'], /no finite number in any row/],
    ['two series of one name', [sample, '--derive', 'a = 1', '--derive', 'a = 2'], /another series is named 'a'/],
    ['a series named like a column', [sample, '--derive', 'time = 2'], /a column is named 'time' already/],
    [
      'a folder that is not there',
      [sample, '--output', 'no/where.csv'],
      /could not be written: its folder does not exist/,
    ],
    [
      'a header with errors',
      [resolve('sample-logs/header-mistakes.strain.csv')],
      /header of .* cannot be used(.|\n)*header-mistakes\.strain\.csv:\d+:\d+: error: (.|\n)*\[unit-mis/,
    ],
  ];
  for (const [why, argv, message] of wrong) {
    it(`refuses ${why} with exit code 2 and writes nothing`, async () => {
      const { code, err, out } = await derive(...argv);
      assert.equal(code, 2);
      assert.match(err, message);
      assert.equal(out, '');
      assert.deepEqual(await readdir(folder), []);
    });
  }

  it('tells where stresses are far beyond what the plate bears', async () => {
    const log = join(folder, 'strong.strain.csv');
    // Thousandths where millionths are meant: B1 steps by 0.06, which a sensor could still read.
    const text = plateLog({ steps: [{ at: 600, cell: 1, size: 60 }] }).replaceAll('unit: um/m', 'unit: mm/m');
    await writeFile(log, text);
    const { code, err } = await derive(log, '--all-channels', '--columns', 'vm');
    assert.equal(code, 0);
    const [, line, name] = /strong\.strain\.csv:(\d+):1: warning: the equivalent stress (\w+) reaches/.exec(err) ?? [];
    assert.equal(name, 'B1_up_vm');
    assert.ok(Number(line) >= lineOfRow(600), line);
    await writeFile(log, plateLog({ steps: [{ at: 600, cell: 1, size: 60 }] }));
    // A derived series may have any name: what it holds is not known to be a stress.
    assert.equal((await derive(log, '--all-channels', '--columns', 'vm', '--derive', 'x_vm=1e6*time')).err, '');
    await rm(log);
  });

  it('writes whole layers only: another one is told and left empty, in either format', async () => {
    const log = join(folder, 'layers.strain.csv');
    const lines = (await readFile(sample, 'utf8')).split('\n');
    const first = lines.findIndex((line) => !line.startsWith('#')) + 1;
    const layers = ['99999999999', '0.5', '-3'];
    layers.forEach(
      (layer, i) => (lines[first + 5 + i] = lines[first + 5 + i]!.replace(/^([^,]*),[^,]*/, `$1,${layer}`)),
    );
    await writeFile(log, lines.join('\n'));
    const ran = await derive(log, '--all-channels', '--columns', 'ex');
    const rows = ran.out.split('\n').filter((line) => /^\d/.test(line));
    assert.deepEqual(
      rows.slice(5, 8).map((row) => row.split(',')[1]),
      ['', '', '-3'],
    );
    assert.match(ran.err, new RegExp(`layers\\.strain\\.csv:${first + 6}:\\d+: error: Column 'layer': '99999999999'`));
    assert.match(ran.err, new RegExp(`layers\\.strain\\.csv:${first + 7}:\\d+: error: Column 'layer': '0.5'`));
    const parquet = join(folder, 'layers.parquet');
    assert.equal((await derive(log, '--all-channels', '--columns', 'ex', '--output', parquet)).code, 0);
    const written = (await parquetReadObjects({ file: await asyncBufferFromFile(parquet) })) as {
      layer: number | null;
    }[];
    assert.deepEqual(
      written.slice(5, 8).map(({ layer }) => layer),
      [null, null, -3],
    );
    await rm(log);
    await rm(parquet);
  });

  it('tells of a faulty series in the header, at its place, and writes the rest', async () => {
    const log = join(folder, 'log.strain.csv');
    const lines = (await readFile(sample, 'utf8')).split('\n');
    const at = lines.findIndex((line) => line.startsWith('#   planes:'));
    lines.splice(at, 0, '#   derived: {good: time / 2, bad: time + A1_nothing}');
    await writeFile(log, lines.join('\n'));
    const { code, out, err } = await derive(log, '--columns', 'ex');
    assert.equal(code, 0);
    const column = lines[at]!.indexOf('A1_nothing') + 1;
    assert.match(err, new RegExp(`log.strain.csv:${at + 1}:${column}: error: .*no column is named 'A1_nothing'`));
    assert.ok(out.includes('name: "good"') && !out.includes('name: "bad"'));
  });

  it('holds no more of a log whose zero is never known than of another', async () => {
    const log = join(folder, 'long.strain.csv');
    const rows = (await readFile(sample, 'utf8')).split('\n');
    const names = rows.findIndex((line) => !line.startsWith('#'));
    // Zeros without a line break, which take no room on the disk, end the table after its first rows.
    await writeFile(log, `${rows.slice(0, names + 4).join('\n')}\n`);
    await truncate(log, 400e6);
    const before = process.memoryUsage().rss;
    const { code, err } = await derive(log, '--columns', 'ex', '--all-channels');
    assert.equal(code, 0);
    assert.match(err, new RegExp(`long.strain.csv:${names + 5}:1: error: `));
    assert.ok(process.memoryUsage().rss - before < 150e6);
  });

  it('leaves an earlier output as it was when it fails', async () => {
    await writeFile(join(folder, 'out.csv'), 'mine');
    const { code } = await derive(sample, '--output', 'out.csv', '--derive', 'a = 1 +');
    assert.equal(code, 2);
    assert.equal(await readFile(join(folder, 'out.csv'), 'utf8'), 'mine');
  });
});
