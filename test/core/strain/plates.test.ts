import assert from 'node:assert/strict';
import fc from 'fast-check';
import { energyDensity, planeStress, vonMises, yieldMargin } from '../../../src/core/strain/hooke.ts';
import { fittedSlope, LayerMeans, slopeLayers } from '../../../src/core/strain/layerRate.ts';
import { PlateForces } from '../../../src/core/strain/plateForces.ts';
import {
  combinedCovariance,
  membraneForces,
  moments,
  planeFit,
  plateStrain,
  strainAt,
} from '../../../src/core/strain/plates.ts';
import type { InPlane } from '../../../src/core/strain/plates.ts';
import { turned } from '../../support/oneRow.ts';
import { aluminiumPlate, header } from '../../support/strainLog.ts';
import { near } from '../../support/near.ts';

const value = fc.double({ min: -1e-3, max: 1e-3, noNaN: true });
const tensor = fc.tuple(value, value, value);

describe('strain over the thickness', () => {
  it('that is linear is found again at every height, from any two planes or more', () => {
    const heights = fc.uniqueArray(fc.integer({ min: -12, max: 12 }), { minLength: 2, maxLength: 5 });
    fc.assert(
      fc.property(heights, tensor, tensor, (millimetres, mid, slope) => {
        const at = (z: number): InPlane => [mid[0] + z * slope[0], mid[1] + z * slope[1], mid[2] + z * slope[2]];
        const planes = millimetres.map((z) => z * 1e-3);
        const fitted = plateStrain(planeFit(planes)!, planes.map(at));
        const top = strainAt(fitted, 0.0125);
        at(0.0125).forEach((expected, c) => near(top[c]!, expected, 1e-12));
      }),
    );
  });

  it('has no curvature from one plane, from two at one height, or from planes of unknown height', () => {
    for (const heights of [[], [0.008], [0.008, 0.008], [0.008, NaN], [NaN, NaN], [0.008, 0.008001]]) {
      assert.equal(planeFit(heights), undefined, String(heights));
    }
    assert.equal(planeFit([-0.008, 0.008], [1, 0]), undefined);
  });

  it('gives moments that turn like a tensor', () => {
    fc.assert(
      fc.property(tensor, fc.double({ min: -4, max: 4, noNaN: true }), (k, turn) => {
        const [mx, my, mxy] = moments(k, aluminiumPlate, 0.025);
        const after = moments(turned(...k, turn), aluminiumPlate, 0.025);
        // Engineering twist halves into the tensor component, the moment's twist does not.
        const expected = turned(mx, my, 2 * mxy, turn);
        near(after[0], expected[0], 1e-9);
        near(after[1], expected[1], 1e-9);
        near(after[2], expected[2] / 2, 1e-9);
      }),
    );
  });

  it('gives forces that are stress times thickness', () => {
    fc.assert(
      fc.property(tensor, (e) => {
        const { sx, sy, txy } = planeStress(...e, aluminiumPlate);
        const n = membraneForces(e, aluminiumPlate, 0.025);
        near(n[0], sx * 0.025, 1e-6);
        near(n[1], sy * 0.025, 1e-6);
        near(n[2], txy * 0.025, 1e-6);
      }),
    );
  });

  it('carries less noise in its curvature when the noise is one thermometer that all planes share', () => {
    const fit = planeFit([-0.008, 0.008])!;
    const plane = (
      common: InPlane,
    ): { covariance: [number, number, number, number, number, number]; common: InPlane } => ({
      covariance: [10, 10, 6, 9, 0, 0],
      common,
    });
    const shared = combinedCovariance(fit.curvature, [plane([3, 3, 0]), plane([3, 3, 0])]);
    const apart = combinedCovariance(fit.curvature, [plane([0, 0, 0]), plane([0, 0, 0])]);
    near(shared[0] / apart[0], 0.1, 1e-12);
  });
});

describe('the whole plate', () => {
  const plate = header({
    channels: [],
    cells: [
      { name: 'A', xM: 0.05, yM: 0.05 },
      { name: 'B', xM: 0.2, yM: 0.05 },
      { name: 'C', xM: 0.1, yM: 0.2 },
      { name: 'D', xM: 0.22, yM: 0.21 },
    ],
  });
  const forces = new PlateForces(plate, [0, 1, 2, 3]);

  it('is divided among the cells without gap or overlap, whichever of them are known', () => {
    fc.assert(
      fc.property(fc.array(fc.boolean(), { minLength: 4, maxLength: 4 }), (known) => {
        const areas = forces.areas(known);
        const total = areas.reduce((sum, a) => sum + a, 0);
        near(total, known.includes(true) ? 0.0625 : 0, 1e-12);
        areas.forEach((a, i) => assert.ok(known[i] ? a > 0 : a === 0));
      }),
    );
  });

  it('gives each cell what is nearer to it than to the others', () => {
    const areas = forces.areas([true, true, true, true]);
    const counts = [0, 0, 0, 0];
    const n = 500;
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) {
        const [x, y] = [((i + 0.5) * 0.25) / n, ((j + 0.5) * 0.25) / n];
        const distances = plate.cells.map(({ xM, yM }) => Math.hypot(x - xM, y - yM));
        counts[distances.indexOf(Math.min(...distances))]!++;
      }
    }
    areas.forEach((area, i) => near(area, (counts[i]! * 0.0625) / n ** 2, 1e-4));
  });

  it('under the same force everywhere carries that force times its width', () => {
    const { force, moment } = forces.at(
      plate.cells.map(() => [1000, 500, 20]),
      plate.cells.map(() => [4, 8, 0]),
    );
    near(force[0], 250, 1e-9);
    near(force[1], 125, 1e-9);
    near(moment[1], 2, 1e-12);
  });

  it('goes on without a cell that has no value, and is undefined without any', () => {
    const none: InPlane = [NaN, NaN, NaN];
    const some: InPlane = [1000, 1000, 0];
    near(forces.at([some, none, some, some], [some, some, some, some]).force[0], 250, 1e-9);
    assert.ok(Number.isNaN(forces.at([none, none, none, none], [none, none, none, none]).force[0]));
  });

  it('holds with one cell, and with cells in a line or at one place', () => {
    for (const cells of [
      [[0.1, 0.1]],
      [
        [0.05, 0.1],
        [0.1, 0.1],
        [0.2, 0.1],
      ],
      [
        [0.1, 0.1],
        [0.1, 0.1],
      ],
    ]) {
      const one = { ...plate, cells: cells.map(([xM, yM], i) => ({ name: `c${i}`, xM: xM!, yM: yM! })) };
      const all = cells.map(() => true);
      const areas = new PlateForces(
        one,
        cells.map((_, i) => i),
      ).areas(all);
      near(
        areas.reduce((sum, a) => sum + a, 0),
        0.0625,
        1e-12,
      );
    }
  });
});

describe('stress', () => {
  it('has no margin where there is none, and a negative one beyond yield', () => {
    assert.ok(Number.isNaN(yieldMargin(0, 276e6)));
    assert.ok(Number.isNaN(yieldMargin(NaN, 276e6)));
    assert.equal(yieldMargin(552e6, 276e6), -0.5);
  });

  it('of von Mises does not depend on an even pressure in three dimensions: plane case of equal stresses', () => {
    assert.equal(vonMises(100, 100), 100);
    near(vonMises(100, -100), 100 * Math.sqrt(3), 1e-12);
  });

  it('stores no negative energy', () => {
    fc.assert(fc.property(value, value, (e1, e2) => assert.ok(energyDensity(e1, e2, aluminiumPlate) >= -1e-12)));
  });
});

describe('the rate per layer', () => {
  it('of a straight rise is its slope, without error', () => {
    const { slope, error } = fittedSlope([3, 4, 5, 6], [10, 12, 14, 16]);
    near(slope, 2, 1e-12);
    near(error, 0, 1e-7);
  });

  it('is the textbook slope and error (x 1..5, y 2 4 5 4 5: 0.6, 0.2828)', () => {
    // Worked by hand: Sxx 10, Sxy 6, residual sum of squares 2.4, error sqrt(2.4 / 3 / 10).
    const { slope, error } = fittedSlope([1, 2, 3, 4, 5], [2, 4, 5, 4, 5]);
    near(slope, 0.6, 1e-12);
    near(error, Math.sqrt(0.08), 1e-12);
  });

  it('is unknown for one layer, and its error for two', () => {
    assert.ok(Number.isNaN(fittedSlope([1], [2]).slope));
    assert.equal(fittedSlope([1, 2], [2, 5]).slope, 3);
    assert.ok(Number.isNaN(fittedSlope([1, 2], [2, 5]).error));
  });

  it('follows the last layers, from means that leave missing readings out', () => {
    const means = new LayerMeans(1);
    const layers = [];
    for (let layer = 0; layer < 60; layer++) {
      // Slope 1 for the first thirty layers, then 3.
      const level = layer < 30 ? layer : 30 + 3 * (layer - 30);
      const rows = [Float64Array.of(level - 1, NaN, level + 1)];
      for (let row = 0; row < 3; row++) {
        const done = means.push(layer, 10 * layer + row, rows, row);
        if (done) layers.push(done);
      }
    }
    layers.push(means.finish()!);
    assert.equal(layers.length, 60);
    assert.deepEqual([layers[5]!.layer, layers[5]!.timeS, layers[5]!.rows, layers[5]!.means[0]], [5, 50, 3, 5]);
    near(layers[29]!.slopes[0]!.slope, 1, 1e-9);
    near(layers[30 + slopeLayers]!.slopes[0]!.slope, 3, 1e-9);
    assert.equal(means.finish(), undefined);
  });
});
