import assert from 'node:assert/strict';
import fc from 'fast-check';
import { CellStrain } from '../../../src/core/strain/cellStrain.ts';
import { cellLayouts } from '../../../src/core/strain/layout.ts';
import { RandomStream } from '../../../src/cli/simulation/random.ts';
import { plainContext } from '../../support/oneRow.ts';
import { header, rowBlock } from '../../support/strainLog.ts';
import type { ChannelSketch } from '../../support/strainLog.ts';
import { contextAt300K, convert, reading, thermometer } from './cellSketch.ts';

const kinds = ['bragg', 'spectral-shift', 'strain'] as const;

describe('a cell', () => {
  it('on a free plate that warms evenly has no mechanical strain, whatever its sensors and directions', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...kinds),
        fc.constantFrom('deg_C', 'K'),
        fc.double({ min: -100, max: 300, noNaN: true }),
        fc.array(fc.double({ min: -0.2, max: 0.2, noNaN: true }), { minLength: 3, maxLength: 6 }),
        (kind, unit, kelvin, jitter) => {
          const log = header({
            channels: [
              { ...thermometer, unit },
              ...jitter.map((j, k) => ({
                name: `c${k}`,
                kind,
                directionDeg: ((k + j) * 180) / jitter.length,
                compensated: false,
              })),
            ],
          });
          const temperature = 300 + kelvin - (unit === 'deg_C' ? 273.15 : 0);
          const readings = jitter.map((_, k) => reading(log, k + 1, 23.6e-6 * kelvin, kelvin));
          const { ex, ey, gxy } = convert(log, contextAt300K(log), [[0, 0, temperature, ...readings]]);
          for (const value of [ex[0]!, ey[0]!, gxy[0]!]) assert.ok(Math.abs(value) < 1e-13, `${value}`);
        },
      ),
    );
  });

  it('takes out the response that a mere division of the shift of wavelength leaves in a strain', () => {
    // Free plate, 10 K warmer: shift / wavelength = 0.78 x 23.6e-6 x 10 + 6.5e-6 x 10, and over 0.78 that is 319.3 um/m.
    const log = header({
      channels: [
        thermometer,
        ...[0, 60, 120].map((directionDeg): ChannelSketch => {
          const thermalGain = 6.5e-6 / 0.78;
          return { name: `c${directionDeg}`, kind: 'strain', directionDeg, compensated: false, thermalGain };
        }),
      ],
    });
    const shift = 0.78 * 23.6e-6 * 10 + 6.5e-6 * 10;
    const apparent = (1e6 * shift) / 0.78;
    const { ex, ey } = convert(log, contextAt300K(log), [[0, 0, 310 - 273.15, apparent, apparent, apparent]]);
    for (const value of [ex[0]!, ey[0]!]) assert.ok(Math.abs(value) < 1e-12, String(value));
  });

  it('gets back the tensor that its readings were made from, in any unit that a column may have', () => {
    const units = { bragg: ['nm'], 'spectral-shift': ['GHz'], strain: ['um/m', ''] } as const;
    for (const kind of kinds) {
      for (const unit of units[kind]) {
        const log = header({
          channels: [
            thermometer,
            ...[0, 45, 90, 135].map((directionDeg) => ({
              name: `c${directionDeg}`,
              kind,
              directionDeg,
              unit,
              compensated: false,
            })),
          ],
        });
        const [ex, ey, gxy, kelvin] = [412e-6, -88e-6, 230e-6, 17];
        const thermal = 23.6e-6 * kelvin;
        const along = [ex, (ex + ey + gxy) / 2, ey, (ex + ey - gxy) / 2];
        const readings = along.map((e, k) => reading(log, k + 1, e + thermal, kelvin));
        const got = convert(log, contextAt300K(log), [[0, 0, 317 - 273.15, ...readings]]);
        [got.ex[0]! - ex, got.ey[0]! - ey, got.gxy[0]! - gxy].forEach((error) => {
          assert.ok(Math.abs(error) < 1e-12, `${kind} ${unit}: ${error}`);
        });
      }
    }
  });

  const four = header({
    channels: [0, 45, 90, 135].map((directionDeg) => ({ name: `c${directionDeg}`, kind: 'strain', directionDeg })),
  });

  it('does without a missing reading where three directions remain, and is undefined where not', () => {
    const { ex, gxy, e1, dir } = convert(four, plainContext(four), [
      [0, 0, 300, 250, -100, -50],
      [1, 0, 300, NaN, -100, -50],
      [2, 0, NaN, NaN, -100, -50],
      [3, 0, NaN, NaN, NaN, NaN],
    ]);
    for (const row of [0, 1]) {
      assert.ok(Math.abs(ex[row]! - 300e-6) < 1e-15);
      assert.ok(Math.abs(gxy[row]! - 300e-6) < 1e-15);
      assert.ok(Math.abs(e1[row]! - 350e-6) < 1e-15);
    }
    for (const column of [ex, gxy, e1, dir]) {
      assert.ok(Number.isNaN(column[2]!) && Number.isNaN(column[3]!));
    }
  });

  it('leaves out channels that gave nothing while zero was taken', () => {
    const layout = cellLayouts(four)[0]!;
    const rows = rowBlock([[0, 0, 300, 9999, -100, -50]]);
    const context = plainContext(four);
    const late = { ...context, report: { ...context.report, mean: [0, NaN, 0, 0] } };
    const unzeroed = new CellStrain(four, layout, late, 1).convert(rows);
    assert.ok(Math.abs(unzeroed.rosettes[0]!.e1[0]! - 350e-6) < 1e-15);
  });

  it('has no tensor arrays where it has fewer than three directions', () => {
    const log = header({
      channels: [0, 90].map((directionDeg) => ({ name: `c${directionDeg}`, kind: 'strain', directionDeg })),
    });
    const { ex, dir, strain } = convert(log, plainContext(log), [[0, 0, 1, 2]]);
    assert.equal(ex.length + dir.length, 0);
    assert.deepEqual(
      strain.map((column) => Math.round(column[0]! * 1e6)),
      [1, 2],
    );
  });

  it('subtracts the datum from the tensor, but hands on strain as measured', () => {
    const context = { ...plainContext(four), strainZero: [100e-6, 100e-6, 100e-6, 100e-6] };
    const { ex, ey, gxy, strain } = convert(four, context, [[0, 0, 300, 250, -100, -50]]);
    assert.ok(Math.abs(ex[0]! - 200e-6) < 1e-15);
    assert.ok(Math.abs(ey[0]! + 200e-6) < 1e-15);
    assert.ok(Math.abs(gxy[0]! - 300e-6) < 1e-15);
    assert.ok(Math.abs(strain[0]![0]! - 300e-6) < 1e-15);
  });

  it('shows no direction while the shear is within the noise', () => {
    const noisy = convert(four, plainContext(four, 5e-6), [
      [0, 0, 5, 0, -5, 0],
      [1, 0, 50, 0, -50, 0],
    ]);
    assert.ok(Number.isNaN(noisy.dir[0]!));
    assert.equal(noisy.dir[1], 0);
  });

  it('comes out the same to the last bit, however the rows are cut into blocks', () => {
    const random = new RandomStream(3, 'chunks');
    const rows = Array.from({ length: 100 }, (_, t) => [
      t,
      0,
      ...[1, 2, 3, 4].map(() => (random.uniform() < 0.1 ? NaN : 500 * random.normal())),
    ]);
    const whole = convert(four, plainContext(four, 1e-6), rows);
    const strain = new CellStrain(four, cellLayouts(four)[0]!, plainContext(four, 1e-6), 7);
    for (let from = 0; from < rows.length;) {
      const count = 1 + Math.floor(random.between(0, 7));
      const part = rows.slice(from, from + count);
      const { ex, ey, gxy, e1, e2, dir } = strain.convert(rowBlock(part, from)).rosettes[0]!;
      const columns = { ex, ey, gxy, e1, e2, dir };
      for (const [name, column] of Object.entries(columns)) {
        const expected = whole[name as keyof typeof columns].subarray(from, from + part.length);
        assert.deepEqual(column.subarray(0, part.length), expected, name);
      }
      from += part.length;
    }
  });

  it('refuses a block larger than it was made for', () => {
    const strain = new CellStrain(four, cellLayouts(four)[0]!, plainContext(four), 1);
    assert.throws(
      () =>
        strain.convert(
          rowBlock([
            [0, 0, 1, 1, 1, 1],
            [1, 0, 1, 1, 1, 1],
          ]),
        ),
      /2 rows.*capacity of 1/,
    );
  });
});
