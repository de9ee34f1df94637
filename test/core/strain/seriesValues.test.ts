import assert from 'node:assert/strict';
import { quantities } from '../../../src/core/display/quantities.ts';
import { DatumEstimator } from '../../../src/core/strain/datum.ts';
import { cellLayouts } from '../../../src/core/strain/layout.ts';
import { PlateStateReader } from '../../../src/core/strain/plateState.ts';
import { seriesCatalog } from '../../../src/core/strain/seriesCatalog.ts';
import { SeriesValues } from '../../../src/core/strain/seriesValues.ts';
import type { SickSpell } from '../../../src/core/strain/sickSpell.ts';
import { plainContext } from '../../support/oneRow.ts';
import { header, rowBlock } from '../../support/strainLog.ts';
import type { ChannelSketch } from '../../support/strainLog.ts';
import { near } from '../../support/near.ts';

const rosette = (cell: number, plane: number, directions: readonly number[]): ChannelSketch[] =>
  directions.map((directionDeg) => ({
    name: `c${cell}p${plane}_${directionDeg}`,
    kind: 'strain',
    directionDeg,
    cell,
    plane,
  }));

/** Cell B1: two planes of four directions; B2: one plane of three; B3: two directions only. */
const log = header({
  planes: [
    { name: 'low', heightM: -0.008 },
    { name: 'up', heightM: 0.008 },
  ],
  channels: [
    ...rosette(0, 0, [0, 45, 90, 135]),
    ...rosette(0, 1, [0, 45, 90, 135]),
    ...rosette(1, 1, [0, 60, 120]),
    ...rosette(2, 1, [0, 90]),
  ],
  derived: [
    { name: 'sum', expression: 'c0p0_0 + c0p0_90' },
    { name: 'wrong', expression: 'c0p0_0 + nothing' },
  ],
});
const layouts = cellLayouts(log);
const context = plainContext(log, 1e-6);

/** Strains of the worked plate 4A: (-40, -10, 12) below, (160, 70, -28) above; Beer & Johnston's rosette in B2. */
const low = [-40, -19, -10, -31];
const up = [160, 101, 70, 129];
const rows = rowBlock([
  [0, 1, ...low, ...up, 40, 980, 330, 5, 6],
  [1, 1, ...low, NaN, NaN, NaN, NaN, 40, 980, NaN, 5, NaN],
]);
const compute = (ids: readonly string[]): readonly Float64Array[] =>
  new SeriesValues(log, layouts, context, ids, 4).compute(rows);
const at = (id: string, row = 0): number => compute([id])[0]![row]!;

describe('the series of a log', () => {
  it('are its readings, what each rosette and cell offers, the plate, and derived ones that can be computed', () => {
    const ids = seriesCatalog(log).map(({ id }) => id);
    assert.equal(new Set(ids).size, ids.length);
    for (const id of [
      'c0p0_0',
      'B1_low_e1',
      'B1_up_resid',
      'B1_mx',
      'B2_up_dir',
      'plate_net_mx',
      'sum',
      'c2p1_0_strain',
    ]) {
      assert.ok(ids.includes(id), id);
    }
    for (const id of ['time', 'layer', 'B2_up_resid', 'B2_mx', 'B3_up_ex', 'B1_dt', 'wrong', 'c0p0_0_strain']) {
      assert.ok(!ids.includes(id), id);
    }
  });

  it('can all be computed, and none ever holds an infinity', () => {
    const ids = seriesCatalog(log).map(({ id }) => id);
    compute(ids).forEach((column, i) => {
      for (const value of column.subarray(0, 2)) assert.ok(Number.isFinite(value) || Number.isNaN(value), ids[i]);
    });
  });

  it('come in the units that files and screens name', () => {
    near(at('B2_up_e1'), 1005.818, 5e-4);
    near(at('B2_up_dir'), 68.766, 5e-4);
    near(at('B1_low_ex'), -40, 1e-9);
    near(at('B1_mx'), 1424.584, 5e-4);
    near(at('B1_kx'), 0.0125, 1e-11);
    near(at('B1_nx'), 135_117, 0.05);
    // Plane stress of aluminium at (160, 70, -28) um/m: 77.32 GPa (160 + 0.33 70).
    near(at('B1_up_s1') + at('B1_up_s2'), 77.3202e-3 * (160 + 70) * 1.33, 1e-3);
    near(at('sum'), -50, 1e-12);
    near(at('c0p0_45'), -19, 1e-12);
  });

  it('of a cell with too few directions are the strain along each fibre, against the datum', () => {
    const zeroed = { ...context, strainZero: context.strainZero.map((_, i) => 1e-6 * i) };
    const fibres = seriesCatalog(log).filter(({ cell, quantity }) => cell === 2 && quantity !== '');
    assert.deepEqual(
      fibres.map(({ id, plane, title, unitLabel }) => [id, plane, title, unitLabel]),
      [
        ['c2p1_0_strain', 1, 'strain along the fibre at 0°', 'µm/m'],
        ['c2p1_90_strain', 1, 'strain along the fibre at 90°', 'µm/m'],
      ],
    );
    const [along, across] = new SeriesValues(
      log,
      layouts,
      zeroed,
      fibres.map(({ id }) => id),
      4,
    ).compute(rows);
    // Readings 5 and 6 um/m of the channels 11 and 12.
    near(along![0]!, 5 - 11, 1e-9);
    near(across![0]!, 6 - 12, 1e-9);
    assert.ok(Number.isNaN(across![1]!));
  });

  it('of the faces are extrapolated: top strain (216.25, 92.5, -39.25) um/m', () => {
    const [ex, ey, g] = [216.25e-6, 92.5e-6, -39.25e-6];
    const [sx, sy, t] = [77.3202e3 * (ex + 0.33 * ey), 77.3202e3 * (ey + 0.33 * ex), 25.9023e3 * g];
    const mises = Math.sqrt(sx * sx - sx * sy + sy * sy + 3 * t * t);
    near(at('B1_vm_top'), mises, 1e-4);
    near(at('B1_margin_top'), 276 / mises - 1, 1e-4);
  });

  it('are gaps where a rosette or plane is missing in a row', () => {
    for (const id of ['B2_up_e1', 'B2_up_vm', 'B2_up_dir_err', 'B1_up_resid', 'B1_mx', 'B1_vm_top', 'plate_net_mx']) {
      assert.ok(Number.isNaN(at(id, 1)), id);
    }
    near(at('B1_low_ex', 1), -40, 1e-9);
  });

  it('tell their errors from the noise of the readings', () => {
    // Four directions: variance of ex is 3/4, of gxy 2; one microstrain of noise each.
    near(at('B2_up_e1_err'), Math.sqrt(1), 0.3);
    near(
      at('B1_mx_err'),
      100_677.3 * ((Math.sqrt(0.75 + 0.33 ** 2 * 0.75 - 2 * 0.33 * 0.25) * Math.SQRT2 * 1e-6) / 0.016),
      1e-3,
    );
    near(at('B1_low_resid_ratio'), 0, 1e-9);
  });

  it('have larger errors while a channel is left out', () => {
    const spell: SickSpell = {
      ...{ cell: 0, plane: 0, channel: 1, name: 'c0p0_45', kind: 'wander', effect: 'without' },
      ...{ fromS: 0, toS: 1, onsetS: 0, layer: 1 },
    };
    const [errors] = new SeriesValues(log, layouts, context, ['B1_mx_err'], 4, [spell]).compute(rows);
    // From 0, 90 and 135 degrees: ex and ey are readings themselves, one microstrain each and independent.
    const [lacking, full] = [1 + 0.33 ** 2, 0.75 + 0.33 ** 2 * 0.75 - 2 * 0.33 * 0.25];
    near(errors![0]!, (100_677.3 * Math.sqrt(lacking + full) * 1e-6) / 0.016, 1e-3);
  });

  it('agree with the state of the plate at a row', () => {
    const state = new PlateStateReader(log, layouts, context).at(rows, 0);
    assert.deepEqual([state.row, state.line, state.timeS, state.layer], [0, 40, 0, 1]);
    const up2 = state.rosettes.find(({ cell }) => cell === 1)!;
    near(up2.e1 * 1e6, at('B2_up_e1'), 1e-9);
    near(up2.dirDeg, at('B2_up_dir'), 1e-9);
    near(up2.dirErrorDeg, at('B2_up_dir_err'), 1e-9);
    near(up2.vonMises * 1e-6, at('B2_up_vm'), 1e-9);
    near(state.cells[0]!.moments[0], at('B1_mx'), 1e-9);
    near(state.cells[0]!.forces[1], at('B1_ny'), 1e-6);
    assert.ok(Number.isNaN(state.cells[1]!.moments[0]));
    assert.equal(state.rosettes.length, 4);
    assert.ok(Number.isNaN(state.rosettes[3]!.e1));
  });

  describe('whose readings do not change in the datum window, as with a coarse step', () => {
    const of = (noisy: readonly number[], ids: readonly string[], thermometer = false): Map<string, number> => {
      const two = header({
        planes: log.planes,
        channels: [
          ...rosette(0, 0, [0, 45, 90]),
          ...rosette(0, 1, [0, 45, 90]),
          ...(thermometer ? [{ name: 'T', kind: 'temperature' } as const] : []),
        ],
      });
      const still = Array.from({ length: 60 }, (_, t) => {
        const readings = [0, 1, 2, 3, 4, 5].map((i) => (noisy.includes(i) ? Math.sin((i + 3) * t) : 0));
        return [t, 0, ...readings, ...(thermometer ? [t < 3 ? 30 : NaN] : [])];
      });
      const datum = new DatumEstimator({ ...two, datum: { fromS: 0, toS: 59 } });
      datum.push(rowBlock(still));
      const values = new SeriesValues(two, cellLayouts(two), datum.result(), ids, 1);
      const bent = rowBlock([[60, 0, ...low.slice(0, 3), ...up.slice(0, 3), ...(thermometer ? [NaN] : [])]]);
      return new Map(values.compute(bent).map((column, i) => [ids[i]!, column[0]!]));
    };

    it('have their moments all the same, errors that are unknown, not 0, and no direction that may be noise', () => {
      const ids = [
        'B1_kx',
        'B1_mx',
        'B1_nx',
        'B1_mx_err',
        'B1_low_dir',
        'B1_low_dir_err',
        'B1_low_e1_err',
        'B1_up_e1_err',
      ];
      for (const noisy of [[], [3, 4, 5]]) {
        const got = of(noisy, ids);
        // 200 um/m over 16 mm; M = 100 677.3 N m (0.0125 + 0.33 x 0.005).
        near(got.get('B1_kx')!, 0.0125, noisy.length > 0 ? 1e-4 : 1e-12);
        near(got.get('B1_mx')!, 1424.58, noisy.length > 0 ? 15 : 0.01);
        assert.ok(Number.isFinite(got.get('B1_nx')!));
        for (const id of ['B1_mx_err', 'B1_low_dir', 'B1_low_dir_err', 'B1_low_e1_err']) {
          assert.ok(Number.isNaN(got.get(id)!), id);
        }
        assert.equal(got.get('B1_up_e1_err')! > 0, noisy.length > 0);
      }
    });

    it('keep their errors beside a thermometer of unknown noise that they do not need', () => {
      const got = of([0, 1, 2, 3, 4, 5], ['B1_low_e1_err', 'B1_low_dir_err', 'B1_mx_err'], true);
      for (const [id, value] of got) assert.ok(value > 0, `${id}: ${value}`);
    });
  });

  it('refuse a name that the log does not offer', () => {
    assert.throws(() => compute(['B9_up_e1']), /no series named 'B9_up_e1'/);
  });

  it('have one suffix each', () => {
    assert.equal(new Set(quantities.map(({ suffix }) => suffix)).size, quantities.length);
  });
});
