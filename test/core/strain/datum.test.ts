import assert from 'node:assert/strict';
import { DatumEstimator } from '../../../src/core/strain/datum.ts';
import { CellStrain } from '../../../src/core/strain/cellStrain.ts';
import { SeriesValues } from '../../../src/core/strain/seriesValues.ts';
import { cellLayouts } from '../../../src/core/strain/layout.ts';
import type { StrainContext } from '../../../src/core/strain/strainContext.ts';
import type { LogHeader } from '../../../src/core/header/logHeader.ts';
import type { RowBlock } from '../../../src/core/table/rowBlock.ts';
import { RandomStream } from '../../../src/cli/simulation/random.ts';
import { header, rowBlock } from '../../support/strainLog.ts';
import type { HeaderSketch } from '../../support/strainLog.ts';

const log = (more: Partial<HeaderSketch> = {}): LogHeader =>
  header({
    channels: [
      { name: 'T', kind: 'temperature' },
      ...[0, 60, 120].map((directionDeg) => ({ name: `c${directionDeg}`, kind: 'strain' as const, directionDeg })),
    ],
    ...more,
  });

type Signal = (timeS: number, random: RandomStream) => readonly [number, number, number, number];

/** Rows one second apart; 35 deg_C with 0.02 K noise, strains 10, 20, 30 um/m with 1 um/m noise, and `extra`. */
function rows(count: number, extra: Signal = () => [0, 0, 0, 0], stepS = 1): number[][] {
  const random = new RandomStream(11, 'datum');
  return Array.from({ length: count }, (_, i) => {
    const t = i * stepS;
    const add = extra(t, random);
    const base = [35 + 0.02 * random.normal(), ...[10, 20, 30].map((level) => level + random.normal())];
    return [t, 0, ...base.map((value, k) => value + add[k]!)];
  });
}

function estimate(table: number[][], more: Partial<HeaderSketch> = {}): StrainContext {
  const datum = new DatumEstimator(log(more));
  datum.push(rowBlock(table));
  return datum.result();
}

describe('the datum', () => {
  it('is the first two minutes where the header does not say, and closes with the first row beyond', () => {
    const datum = new DatumEstimator(log());
    assert.equal(datum.push(rowBlock(rows(121))), false);
    assert.equal(datum.push(rowBlock([[121, 0, 35, 10, 20, 30]], 121)), true);
    const { report } = datum.result();
    assert.deepEqual([report.fromS, report.toS, report.rows], [0, 120, 121]);
  });

  it('waits for twenty rows where they come slowly', () => {
    const { report } = estimate(rows(60, undefined, 30));
    assert.equal(report.rows, 20);
    assert.equal(report.toS, 570);
  });

  it('does not wait for them longer than an hour', () => {
    const { report } = estimate(rows(60, undefined, 600));
    assert.equal(report.rows, 7);
  });

  it('keeps to the window that the header names', () => {
    const { report } = estimate(rows(300), { datum: { fromS: 60, toS: 180 } });
    assert.deepEqual([report.fromS, report.toS, report.rows], [60, 180, 121]);
  });

  it('finds level, noise and drift', () => {
    const { strainZero, noise, temperatureZeroK, report } = estimate(
      rows(400, (t) => [0, t / 40, 0, 0]),
      {
        datum: { fromS: 0, toS: 400 },
      },
    );
    assert.ok(Math.abs(temperatureZeroK[0]! - 308.15) < 0.005);
    assert.ok(Math.abs(strainZero[2]! * 1e6 - 20) < 0.3, String(strainZero[2]));
    // 400 values: the noise is known to a few per cent, drift or not.
    for (const channel of [1, 2, 3]) assert.ok(Math.abs(noise[channel]! * 1e6 - 1) < 0.12, String(noise[channel]));
    assert.ok(Math.abs(noise[0]! - 0.02) < 0.0025);
    assert.ok(Math.abs(report.drift[1]! * 1e6 - 10) < 0.8, String(report.drift[1]));
    assert.ok(Math.abs(report.drift[2]!) * 1e6 < 0.5);
    assert.deepEqual(report.reasons, []);
    assert.equal(report.fit, true);
  });

  it('is not moved by spikes', () => {
    const spiky: Signal = (t) => [0, t % 17 === 3 ? 900 : 0, 0, 0];
    const { strainZero, noise } = estimate(rows(121, spiky));
    assert.ok(Math.abs(strainZero[1]! * 1e6 - 10) < 0.5);
    assert.ok(noise[1]! * 1e6 < 1.5, String(noise[1]));
  });

  it('knows a noise even where readings are coarsely rounded', () => {
    const table = rows(121).map((row) => row.map((value, k) => (k > 2 ? Math.round(value) : value)));
    const { noise } = estimate(table);
    assert.ok(noise[1]! * 1e6 > 0.5 && noise[1]! * 1e6 < 1.5, String(noise[1]));
  });

  it('is the same however rows come in', () => {
    const table = rows(200);
    const whole = estimate(table);
    const datum = new DatumEstimator(log());
    for (let i = 0; i < table.length; i += 3) datum.push(rowBlock(table.slice(i, i + 3), i));
    assert.deepEqual(datum.result(), whole);
  });

  it('holds a bounded number of rows of a long window, and still finds level and noise', () => {
    const datum = new DatumEstimator(log({ datum: { fromS: 0, toS: 1e6 } }));
    const table = rows(30_000);
    const blocks: RowBlock[] = [];
    for (let i = 0; i < table.length; i += 4096) blocks.push(rowBlock(table.slice(i, i + 4096), i));
    for (const block of blocks) datum.push(block);
    const { strainZero, noise, report } = datum.result();
    assert.equal(report.rows, 30_000);
    assert.ok(Math.abs(strainZero[1]! * 1e6 - 10) < 0.1);
    assert.ok(Math.abs(noise[1]! * 1e6 - 1) < 0.1);
  });

  const unfit: [string, number[][], RegExp, Partial<HeaderSketch>?][] = [
    ['the temperature still moves', rows(121, (t) => [t / 20, 0, 0, 0]), /temperature still moves by 6\.\d K/],
    ['it is too short', rows(10), /only 10 rows; 20 are needed/],
    ['it has one row', rows(1), /only 1 row; 20 are needed/],
    ['something happened in it', rows(121, (t) => [0, 0, t > 60 ? 40 : 0, 0]), /c60 steps by (39|40|41)\.\d µm\/m/],
    ['strain drifts', rows(121, (t) => [0, 0, 0, t / 2]), /c120 drifts by (5|6)\d\.\d µm\/m/],
    ['readings are missing', rows(121, (t) => [0, t % 2 === 0 ? NaN : 0, 0, 0]), /c0 has no usable reading in 50 %/],
    ['there are no rows in it', rows(50), /holds no rows/, { datum: { fromS: 500, toS: 600 } }],
    ['the log has no rows', [], /holds no rows/],
    [
      'readings never change',
      rows(121).map(([t, layer, temperature, c0]) => [t!, layer!, temperature!, c0!, 20, 30]),
      /c60 gives one and the same reading in the datum window \(and 1 more channel\), so its noise is unknown/,
    ],
  ];
  for (const [why, table, reason, more] of unfit) {
    it(`is not fit where ${why}`, () => {
      const { report, strainZero } = estimate(table, more);
      assert.equal(report.fit, false);
      assert.equal(report.reasons.length, 1, report.reasons.join(' | '));
      assert.match(report.reasons[0]!, reason);
      assert.doesNotMatch(report.reasons[0]!, /NaN|Infinity|undefined/);
      assert.ok(strainZero.every(Number.isFinite));
    });
  }

  describe('where no thermometer reads in it', () => {
    const sketch: Partial<HeaderSketch> = {
      channels: [
        { name: 'T', kind: 'temperature' },
        { name: 'A0', kind: 'strain', directionDeg: 0, compensated: false },
        { name: 'A45', kind: 'strain', directionDeg: 45, compensated: false },
        { name: 'A90', kind: 'strain', directionDeg: 90, compensated: false },
        { name: 'B0', kind: 'strain', directionDeg: 0, cell: 1 },
        { name: 'B45', kind: 'strain', directionDeg: 45, cell: 1 },
        { name: 'B90', kind: 'strain', directionDeg: 90, cell: 1 },
      ],
    };
    /** A free plate: it warms by 10 K at 150 s, and the thermometer reads from 130 s on. */
    const warming = Array.from({ length: 200 }, (_, t) => {
      const kelvin = t < 150 ? 0 : 10;
      const free = 23.6 * kelvin + 0.1 * Math.sin(7 * t);
      return [
        t,
        0,
        t < 130 ? NaN : 30 + kelvin + 0.01 * Math.sin(5 * t),
        free,
        free,
        free,
        ...[1, 2, 3].map((k) => k + 1e-4 * Math.sin(k * t)),
      ];
    });

    it('has no strain of what needs it, says so, and knows the changes all the same', () => {
      const context = estimate(warming, sketch);
      assert.match(
        context.report.reasons[0]!,
        /^Thermometer T has no usable reading .* no strain for B1; choose a window in which it reads\.$/,
      );
      assert.equal(context.report.reasons.length, 1);
      const [own, other] = cellLayouts(log(sketch)).map((layout) => new CellStrain(log(sketch), layout, context, 200));
      const block = own!.convert(rowBlock(warming));
      const { ex, dir, strain } = block.rosettes[0]!;
      for (const row of [0, 140, 199]) {
        assert.ok(Number.isNaN(ex[row]!) && Number.isNaN(dir[row]!), String(ex[row]));
        assert.ok(Number.isNaN(own!.temperatureAt(row)));
      }
      // Heat is taken out of the change, and nothing is told before the thermometer reads.
      assert.ok(Number.isNaN(strain[0]![100]!));
      assert.ok(Math.abs(strain[0]![199]! - strain[0]![140]!) < 1e-6);
      assert.ok(Math.abs(other!.convert(rowBlock(warming)).rosettes[0]!.ex[199]!) < 1e-8);
    });

    it('says which strain is lost to a window without rows, and takes the noise from the rows before it', () => {
      const { report, noise } = estimate(rows(200), { datum: { fromS: 500, toS: 600 } });
      assert.match(report.reasons[0]!, /holds no rows; strain is shown against the resting readings .*: name a window/);
      assert.ok(Math.abs(noise[1]! * 1e6 - 1) < 0.3, String(noise[1]));
      assert.ok(Math.abs(noise[0]! - 0.02) < 0.006, String(noise[0]));
      const lost = estimate(warming, { ...sketch, datum: { fromS: 500, toS: 600 } }).report.reasons[0]!;
      assert.match(lost, /there is no strain for B1; other strain is shown against/);
    });
  });

  describe('with a thermometer read in whole degrees that does not change in it', () => {
    const uncompensated: Partial<HeaderSketch> = {
      channels: [
        { name: 'T', kind: 'temperature' },
        ...[0, 45, 90, 135].map((directionDeg) => ({
          name: `c${directionDeg}`,
          kind: 'strain' as const,
          directionDeg,
          compensated: false,
        })),
      ],
    };
    const random = new RandomStream(5, 'whole degrees');
    /** Pure shear of 200 um/m once the window (0 s to 120 s, or as named) is over; 1 um/m of noise. */
    const build = (kelvin: (t: number) => number): number[][] =>
      Array.from({ length: 400 }, (_, t) => {
        const shear = t < 390 ? 0 : 1;
        return [t, 0, Math.round(kelvin(t)), ...[100, 0, -100, 0].map((level) => shear * level + random.normal())];
      });
    const last = (table: number[][], sketch: Partial<HeaderSketch>): Record<string, number> => {
      const of = log(sketch);
      const ids = ['e1', 'e1_err', 'dir', 'dir_err', 'resid_ratio', 'vm_err'];
      const values = new SeriesValues(
        of,
        cellLayouts(of),
        estimate(table, sketch),
        ids.map((id) => `B1_up_${id}`),
        400,
      );
      const columns = values.compute(rowBlock(table));
      return Object.fromEntries(ids.map((id, i) => [id, columns[i]![399]!]));
    };

    it('says that errors need it, and tells what its noise cannot touch: the direction and the residual', () => {
      const table = build(() => 30);
      const { report } = estimate(table, uncompensated);
      assert.equal(report.reasons.length, 1);
      assert.match(report.reasons[0]!, /^Channel T gives one and the same reading .* errors .* are left empty/);
      const got = last(table, uncompensated);
      assert.ok(Number.isNaN(got['e1_err']!) && Number.isNaN(got['vm_err']!));
      assert.ok(Math.abs(got['e1']! - 100) < 5, String(got['e1']));
      assert.ok(Math.min(got['dir']!, 180 - got['dir']!) < 2, String(got['dir']));
      // Least squares of four directions: the variance of ex - ey is 2 s^2, and dir = gxy / 2 (ex - ey) near 0, so
      // its error is sqrt(2) s / 2 gmax.
      const expected = ((Math.SQRT2 / 2 / 200) * 180) / Math.PI;
      assert.ok(Math.abs(got['dir_err']! / expected - 1) < 0.25, String(got['dir_err']));
      assert.ok(got['resid_ratio']! >= 0 && got['resid_ratio']! < 5, String(got['resid_ratio']));
    });

    it('has no direction where fibres need it unequally', () => {
      const unequal = {
        channels: uncompensated.channels!.map((c, i) => (i === 2 ? { ...c, thermalGain: 5e-6 } : c)),
      };
      const got = last(
        build(() => 30),
        unequal,
      );
      assert.ok(Number.isNaN(got['dir']!) && Number.isNaN(got['dir_err']!));
    });

    it('takes its noise from the rows before the window, where it stepped: a step over the root of 12 at least', () => {
      const sketch = { ...uncompensated, datum: { fromS: 100, toS: 300 } };
      const table = build((t) => (t < 100 ? 25 + t / 20 : 30));
      const { report, noise } = estimate(table, sketch);
      assert.deepEqual(report.reasons, []);
      assert.ok(noise[0]! >= 1 / Math.sqrt(12) && noise[0]! < 1, String(noise[0]));
      // Heat moves all four alike by 23.6 um/m per kelvin, which is far above 1 um/m of each.
      const got = last(table, sketch);
      assert.ok(got['e1_err']! > 23.6 / Math.sqrt(12) && got['e1_err']! < 24, String(got['e1_err']));
    });

    it('is fit where no channel needs the thermometer', () => {
      assert.deepEqual(estimate(rows(121).map(([t, l, , ...rest]) => [t!, l!, 30, ...rest])).report.reasons, []);
    });
  });

  it('passes over rows without a time', () => {
    const table = rows(121);
    table[5]![0] = NaN;
    assert.equal(estimate(table).report.rows, 120);
  });
});
