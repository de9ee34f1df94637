// What is derived from a log of two fibres, too few for a tensor.
import assert from 'node:assert/strict';
import { mkdtemp, readFile, readdir, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { asyncBufferFromFile, parquetMetadataAsync } from 'hyparquet';
import { run } from '../runCommand.ts';
import { ecsv } from '../readEcsv.ts';

describe('underplate derive, of two directions', function () {
  this.timeout(60_000);
  let folder = '';
  beforeEach(async () => (folder = await mkdtemp(join(tmpdir(), 'derive-'))));
  afterEach(() => rm(folder, { recursive: true, force: true }));
  const derive = (...argv: string[]): ReturnType<typeof run> => run(['derive', ...argv], { cwd: folder });

  /** Two fibres of a cell, x stretched by 40 from 60 s on; temperature is taken out already, or the log has none. */
  async function twoFibres(compensated: boolean): Promise<string> {
    const log = join(folder, 'two.strain.csv');
    const header = [
      '%ECSV 1.0',
      '---',
      "delimiter: ','",
      'datatype:',
      '- {name: time, unit: s, datatype: float64}',
      '- {name: c0, unit: um/m, datatype: float64}',
      '- {name: c90, unit: um/m, datatype: float64}',
      'meta:',
      '  strain_log: 1',
      '  plate: {size: [250 mm, 250 mm], thickness: 25 mm, material: Al 6061-T6}',
      '  cells: {A: {at: [75 mm, 75 mm]}}',
      '  channels:',
      `    c0: {cell: A, kind: strain, direction: 0 deg, compensated: ${compensated}}`,
      `    c90: {cell: A, kind: strain, direction: 90 deg, compensated: ${compensated}}`,
      '  datum: {from: 0 s, to: 59 s}',
    ];
    const rows = Array.from({ length: 90 }, (_, t) => {
      const [wave, rise] = [0.5 * Math.sin(t), t < 60 ? 0 : 40];
      return `${t},${100 + wave + rise},${20 - wave}`;
    });
    await writeFile(log, `${header.map((line) => `# ${line}\n`).join('')}time,c0,c90\n${rows.join('\n')}\n`);
    return log;
  }

  it('writes the strain along each fibre of a cell with too few directions for a tensor', async () => {
    const log = await twoFibres(true);
    const { code, out } = await derive(log);
    assert.equal(code, 0);
    const table = ecsv(out);
    assert.deepEqual(
      table.header.datatype.map(({ name, unit }) => [name, unit]),
      [
        ['time', 's'],
        ['c0_strain', 'um/m'],
        ['c90_strain', 'um/m'],
      ],
    );
    const last = table.rows.at(-1)!;
    // Against the datum, where c0 read 100 and c90 read 20.
    assert.ok(Math.abs(Number(last['c0_strain']) - 40) < 0.6, last['c0_strain']);
    assert.ok(Math.abs(Number(last['c90_strain'])) < 0.6, last['c90_strain']);
  });

  it('does not pass where none of the quantities asked for exists, and says why', async () => {
    const log = await twoFibres(true);
    const none = await derive(log, '--columns', 'e1,kx', '--output', 'out.csv');
    assert.equal(none.code, 2);
    assert.match(
      none.err,
      /none of the quantities asked for(.|\n)*no e1: .* three directions(.|\n)*no kx: .* two planes/,
    );
    assert.deepEqual(await readdir(folder), ['two.strain.csv']);
    const some = await derive(log, '--columns', 'e1,strain');
    assert.equal(some.code, 0);
    assert.match(some.err, /two\.strain\.csv: no e1: /);
    assert.deepEqual(Object.keys(ecsv(some.out).rows[0]!), ['time', 'c0_strain', 'c90_strain']);
    assert.equal((await derive(log)).err, '');
  });

  it('says that there is no fibre where the log has thermometers only', async () => {
    const log = join(folder, 'warm.strain.csv');
    const text = await readFile(await twoFibres(true), 'utf8');
    const warm = text
      .replaceAll('unit: um/m', 'unit: deg_C')
      .replace(/kind: strain, direction: .*}/g, 'kind: temperature}');
    await writeFile(log, warm);
    const { code, err } = await derive(log, '--columns', 'strain,e1,resid');
    assert.equal(code, 2);
    assert.match(err, /no strain, e1, resid: no fibre is declared/);
  });

  it('says in the file and to the user in which cells the heat is left', async () => {
    const log = await twoFibres(false);
    const { out, err } = await derive(log);
    assert.deepEqual(ecsv(out).header.meta.heat_left_in, ['A']);
    assert.match(err, /'A' has no temperature.*\[temperature-missing\]/);
    assert.equal(ecsv((await derive(await twoFibres(true))).out).header.meta.heat_left_in, undefined);
    await derive(await twoFibres(false), '--output', 'out.parquet');
    const { key_value_metadata: pairs } = await parquetMetadataAsync(
      await asyncBufferFromFile(join(folder, 'out.parquet')),
    );
    assert.equal(pairs!.find(({ key }) => key === 'heat_left_in')?.value, '["A"]');
  });
});
