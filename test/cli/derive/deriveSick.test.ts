import assert from 'node:assert/strict';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { asyncBufferFromFile, parquetMetadataAsync, parquetReadObjects } from 'hyparquet';
import { parse } from 'csv-parse/sync';
import { Matrix, solve } from 'ml-matrix';
import { rowsPerLayer, wanderingLog } from '../plateLog.ts';
import { run } from '../runCommand.ts';
import { ecsv } from '../readEcsv.ts';

describe('underplate derive, of a log with a channel that wanders', function () {
  this.timeout(60_000);
  let folder = '';
  beforeEach(async () => (folder = await mkdtemp(join(tmpdir(), 'derive-'))));
  afterEach(() => rm(folder, { recursive: true, force: true }));
  const derive = (...argv: string[]): ReturnType<typeof run> => run(['derive', ...argv], { cwd: folder });
  const directions = [0, 45, 90, 135];
  const names = directions.map((degrees) => `B2_up_${degrees}`);
  const suffixes = ['ex', 'ey', 'gxy'] as const;
  let log = '';
  beforeEach(async () => {
    log = join(folder, 'log.strain.csv');
    await writeFile(log, wanderingLog(1500));
  });

  /** Readings of the cell without their zeros: the mean from 10 s to 60 s, the highest and lowest fifths left out. */
  async function readings(): Promise<number[][]> {
    const rows = parse(await readFile(log, 'utf8'), { comment: '#', columns: true }) as Record<string, string>[];
    const all = rows.map((row) => names.map((name) => Number(row[name])));
    const zero = names.map((_, c) => {
      const window = all.slice(10, 61).map((row) => row[c]!);
      const inner = window.sort((a, b) => a - b).slice(10, 41);
      return inner.reduce((sum, value) => sum + value / inner.length, 0);
    });
    return all.map((row) => row.map((value, c) => value - zero[c]!));
  }

  function leastSquares(row: readonly number[], channels: readonly number[]): { tensor: number[]; misfit: number } {
    const design = new Matrix(
      channels.map((c) => {
        const angle = (directions[c]! * Math.PI) / 180;
        return [Math.cos(angle) ** 2, Math.sin(angle) ** 2, Math.sin(angle) * Math.cos(angle)];
      }),
    );
    const values = Matrix.columnVector(channels.map((c) => row[c]!));
    const tensor = solve(design, values);
    return { tensor: tensor.to1DArray(), misfit: Matrix.sub(values, design.mmul(tensor)).norm('frobenius') };
  }

  it('solves its cell from the others from then on, and says so in the file and to the user', async () => {
    const { code, out, err } = await derive(log, '--columns', 'ex,ey,gxy,resid');
    assert.equal(code, 0);
    const { header, rows } = ecsv(out);
    const [spell, ...more] = header.meta.sick_channels!;
    assert.deepEqual(more, []);
    const { from_s: fromS, ...rest } = spell!;
    assert.deepEqual(rest, { channel: 'B2_up_45', cell: 'B2', plane: 'up', kind: 'wander', tensor: 'without it' });
    assert.ok(Number(fromS) >= 900 && Number(fromS) < 1200, String(fromS));
    const layer = Math.floor(Number(fromS) / rowsPerLayer);
    assert.equal(err, `log.strain.csv: B2 up without B2_up_45 from layer ${layer}: wander\n`);
    // With one fibre more than needed they weigh by their noises, which are not quite alike: it differs as far as they do.
    const measured = await readings();
    rows.forEach((row, i) => {
      const isOut = Number(row['time']) >= Number(fromS);
      const { tensor, misfit } = leastSquares(measured[i]!, isOut ? [0, 2, 3] : [0, 1, 2, 3]);
      suffixes.forEach((suffix, c) => {
        const off = Math.abs(Number(row[`B2_up_${suffix}`]) - tensor[c]!);
        assert.ok(off < (isOut ? 1e-6 : misfit), `${suffix} at row ${i}: ${off}`);
      });
      assert.equal(row['B2_up_resid'] === '', isOut);
    });
  });

  it('writes the same into Parquet and by layer', async () => {
    const { rows, header } = ecsv((await derive(log, '--columns', 'ex')).out);
    await derive(log, '--columns', 'ex', '--output', 'out.parquet');
    const file = await asyncBufferFromFile(join(folder, 'out.parquet'));
    const stored = await parquetReadObjects({ file });
    stored.forEach((record, i) => {
      assert.ok(Math.abs((record['B2_up_ex'] as number) - Number(rows[i]!['B2_up_ex'])) < 1e-6);
    });
    const { key_value_metadata: pairs } = await parquetMetadataAsync(file);
    const told = JSON.parse(pairs!.find(({ key }) => key === 'sick_channels')!.value!) as unknown;
    assert.deepEqual(told, header.meta.sick_channels);
    const layers = ecsv((await derive(log, '--columns', 'ex', '--by-layer')).out).rows;
    const last = rows.slice(-rowsPerLayer).map((row) => Number(row['B2_up_ex']));
    const mean = last.reduce((sum, value) => sum + value, 0) / last.length;
    assert.ok(Math.abs(Number(layers.at(-1)!['B2_up_ex']) - mean) < 1e-6);
  });

  it('uses it all the same where every channel is to be used, and then says nothing', async () => {
    const { out, err } = await derive(log, '--columns', 'ex,resid', '--all-channels');
    const { header, rows } = ecsv(out);
    assert.equal(err, '');
    assert.equal(header.meta.sick_channels, undefined);
    assert.ok(Math.max(...rows.map((row) => Number(row['B2_up_resid']))) > 10);
  });
});
