import assert from 'node:assert/strict';
import { compareToBands } from '../../../src/core/compare/excursions.ts';
import type { LayerProfile } from '../../../src/core/compare/layerProfile.ts';
import { referenceBands, spreadUncertainty } from '../../../src/core/compare/referenceBand.ts';
import { normal } from '../../support/normalNoise.ts';

const options = { coverage: 0.95, smallest: 1e-9 };

/** A build with one component, from its values by layer; NaN leaves a layer out. */
function build(values: readonly number[], id = 'B2_ex'): LayerProfile {
  const keys = values.flatMap((value, key) => (Number.isNaN(value) ? [] : [key]));
  const trace = { id, cell: 'B2', plane: '', keys, values: keys.map((key) => values[key]!) };
  return { name: '', alignment: { by: 'layer' }, places: [], traces: [trace], sick: [] };
}

describe('the band of good builds', () => {
  it('is the normal prediction interval for one more build', () => {
    // By hand: mean 12, s = 2, n = 3; t(0.975; 2) = 4.303 (printed table), sqrt(1 + 1/3): half-width 9.937.
    const [band] = referenceBands([build([10]), build([12]), build([14])], options);
    assert.deepEqual([band?.keys, band?.centre, band?.builds], [[0], [12], [3]]);
    assert.ok(Math.abs(band!.halfWidth[0]! - 4.30265 * 2 * Math.sqrt(4 / 3)) < 1e-3);
  });

  for (const [builds, lowest, highest] of [
    [2, 0.93, 0.97],
    [3, 0.93, 0.97],
    [5, 0.93, 0.97],
    // The robust band is an approximation; it may be wider, but not much narrower.
    [7, 0.93, 0.995],
    [12, 0.93, 0.995],
    [30, 0.93, 0.985],
  ] as const) {
    it(`of ${builds} holds about 95 of 100 further builds`, () => {
      const draw = normal(builds);
      let held = 0;
      const trials = 4000;
      for (let trial = 0; trial < trials; trial++) {
        // One layer each, so that nothing is pooled.
        const [band] = referenceBands(
          Array.from({ length: builds }, () => build([draw()])),
          options,
        );
        if (Math.abs(draw() - band!.centre[0]!) <= band!.halfWidth[0]!) held++;
      }
      assert.ok(held / trials > lowest && held / trials < highest, `${held / trials}`);
    });
  }

  it('is not widened by one bad build among seven', () => {
    const draw = normal(5);
    const good = Array.from({ length: 6 }, () => build(Array.from({ length: 40 }, draw)));
    const bad = build(Array.from({ length: 40 }, () => 500));
    const [band] = referenceBands([...good, bad], options);
    assert.ok(band!.halfWidth.every((width) => width < 10));
    assert.ok(band!.centre.every((centre) => Math.abs(centre) < 2));
  });

  it('pools the spread over neighbouring layers, so that builds alike in one layer by chance give no thin place', () => {
    const a = Array.from({ length: 30 }, () => 1);
    const b = a.map((_, layer) => (layer === 15 ? 1 : -1));
    const [band] = referenceBands([build(a), build(b)], options);
    assert.ok(band!.halfWidth[15]! > 0.9 * band!.halfWidth[0]!);
  });

  it('never is thinner than what is worth telling', () => {
    const [band] = referenceBands([build([3]), build([3])], { coverage: 0.95, smallest: 5 });
    assert.deepEqual([...band!.halfWidth], [5]);
  });

  it('leaves out layers and components that fewer than two builds have', () => {
    const bands = referenceBands([build([1, 2, 3]), build([1, NaN, 3]), build([7], 'C3_ex')], options);
    assert.deepEqual(
      bands.map(({ id, keys }) => [id, keys]),
      [['B2_ex', [0, 2]]],
    );
    assert.deepEqual(referenceBands([], options), []);
  });

  it('says how well its spread is known', () => {
    // sigma of s over sigma is about 1/sqrt(2 (n - 1)): 50 % of three, 71 % of two builds.
    assert.ok(Math.abs(spreadUncertainty(3) - 0.5) < 1e-12);
    assert.ok(Math.abs(spreadUncertainty(2) - Math.SQRT1_2) < 1e-12);
  });
});

describe('a build against the band', () => {
  const flat = (value: number, layers = 20): number[] => Array.from({ length: layers }, () => value);
  const bands = referenceBands([build(flat(-1)), build(flat(1))], { coverage: 0.95, smallest: 1 });
  const edge = bands[0]!.halfWidth[0]!;

  it('lies inside: nothing', () => {
    const { excursions, compared, outside } = compareToBands(build(flat(0.9 * edge)), bands);
    assert.deepEqual([excursions, compared, outside], [[], 20, 0]);
  });

  it('lies outside from a layer on: how far, in half-widths, and where it is farthest', () => {
    const values = flat(0).map((value, layer) => (layer < 8 ? value : layer === 12 ? 3 * edge : 1.5 * edge));
    const { excursions, outside } = compareToBands(build(values), bands);
    assert.equal(outside, 12);
    assert.equal(excursions.length, 1);
    const [one] = excursions;
    assert.deepEqual([one?.fromKey, one?.toKey, one?.worstKey, one?.layers], [8, 19, 12, 12]);
    assert.ok(Math.abs(one!.howFar - 3) < 1e-9);
    assert.ok(Math.abs(one!.value - 3 * edge) < 1e-9);
  });

  it('is not blamed for a layer or two, and a run bridges them', () => {
    const out = (layers: readonly number[]): number =>
      compareToBands(build(flat(0).map((_, layer) => (layers.includes(layer) ? -2 * edge : 0))), bands).excursions
        .length;
    assert.equal(out([4, 5]), 0);
    assert.equal(out([4, 5, 6]), 1);
    assert.equal(out([4, 5, 8, 9]), 1);
    assert.equal(out([4, 5, 12, 13]), 0);
  });

  it('says what could not be compared', () => {
    const taller = compareToBands(build(flat(0, 25)), bands);
    assert.deepEqual([taller.beyond, taller.compared], [5, 20]);
    assert.deepEqual(compareToBands(build(flat(0), 'A1_ex'), bands).unmatched, ['A1_ex']);
  });
});
