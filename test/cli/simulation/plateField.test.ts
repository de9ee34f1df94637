// The simulator's elasticity against closed forms and against the laws every plane-stress field obeys.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import {
  heightFactor,
  insideOutline,
  kernelField,
  largestStrain,
  nucleusStrain,
  partFields,
  unitTensor,
} from '../../../src/cli/simulation/plateField.ts';
import type { Field, Tensor } from '../../../src/cli/simulation/plateField.ts';
import { sampleScenario } from '../../support/simulatedBuild.ts';
import { near } from '../../support/near.ts';

const { plate, parts } = sampleScenario('good-build');

const metre = fc.double({ min: -0.1, max: 0.1, noNaN: true });
const share = fc.double({ min: -1, max: 1, noNaN: true });

describe('a nucleus of strain', () => {
  it("is Goodier's thermoelastic nucleus for equal strain both ways: u_r = (1 + nu) e dA / 2 pi r", () => {
    // Goodier, Philosophical Magazine 23 (1937); Timoshenko and Goodier, Theory of Elasticity, art. 162 (from memory).
    const nu = 0.3;
    const r = 0.2;
    const c = (1 + nu) / (2 * Math.PI);
    const [ex, ey, gxy] = nucleusStrain(r, 0, 1e-4, [1, 1, 0], nu);
    near(ex, -c / r ** 2, (1e-4 * c) / r ** 2, 'radial');
    near(ey, c / r ** 2, (1e-4 * c) / r ** 2, 'hoop');
    near(gxy, 0, 1e-12, 'shear');
  });

  it('expands its own place and takes the sign of what it is fed', () => {
    const [ex, ey] = nucleusStrain(0, 0, 0.02, [1, 1, 0], 0.33);
    assert.ok(ex > 0 && ey > 0);
    near(ex, ey, 1e-9 * ex);
  });

  it('turns with its axes', () => {
    fc.assert(
      fc.property(
        metre,
        metre,
        share,
        share,
        share,
        fc.double({ min: 0, max: 6.28, noNaN: true }),
        (x, y, fx, fy, g, turn) => {
          const [c, s] = [Math.cos(turn), Math.sin(turn)];
          const turned = (t: Tensor): Tensor => [
            t[0] * c * c + t[1] * s * s - t[2] * s * c,
            t[0] * s * s + t[1] * c * c + t[2] * s * c,
            2 * (t[0] - t[1]) * s * c + t[2] * (c * c - s * s),
          ];
          const direct = turned(nucleusStrain(x, y, 0.03, [fx, fy, g], 0.33));
          const rotated = nucleusStrain(x * c - y * s, x * s + y * c, 0.03, turned([fx, fy, g]), 0.33);
          direct.forEach((value, i) => near(rotated[i]!, value, 1e-9 * (1 + Math.abs(value)), `component ${i}`));
        },
      ),
    );
  });

  it('is a possible strain: compatible everywhere (Saint-Venant)', () => {
    fc.assert(
      fc.property(metre, metre, share, share, share, (x, y, fx, fy, g) => {
        const field: Field = (px, py) => nucleusStrain(px, py, 0.05, [fx, fy, g], 0.3);
        const h = 1e-3;
        const second = (i: 0 | 1 | 2, dx: number, dy: number): number =>
          (field(x + dx, y + dy)[i] - 2 * field(x, y)[i] + field(x - dx, y - dy)[i]) / h ** 2;
        const mixed =
          (field(x + h, y + h)[2] - field(x + h, y - h)[2] - field(x - h, y + h)[2] + field(x - h, y - h)[2]) /
          (4 * h ** 2);
        const [a, b] = [second(0, 0, h), second(1, h, 0)];
        near(a + b - mixed, 0, 2e-3 * (Math.abs(a) + Math.abs(b) + Math.abs(mixed) + 1e4), 'compatibility');
      }),
    );
  });

  it('needs no body force away from its place (equilibrium in plane stress)', () => {
    const nu = 0.3;
    const stress = (x: number, y: number): Tensor => {
      const [ex, ey, g] = nucleusStrain(x, y, 1e-4, [1, -0.4, 0.7], nu);
      return [(ex + nu * ey) / (1 - nu * nu), (ey + nu * ex) / (1 - nu * nu), g / (2 * (1 + nu))];
    };
    const h = 1e-5;
    for (const [x, y] of [
      [0.05, 0.02],
      [-0.03, 0.06],
      [0.01, -0.08],
    ] as const) {
      const dx = (i: 0 | 1 | 2): number => (stress(x + h, y)[i] - stress(x - h, y)[i]) / (2 * h);
      const dy = (i: 0 | 1 | 2): number => (stress(x, y + h)[i] - stress(x, y - h)[i]) / (2 * h);
      near(dx(0) + dy(2), 0, 1e-4 * Math.abs(dx(0)), 'along x');
      near(dx(2) + dy(1), 0, 1e-4 * Math.abs(dy(1)), 'along y');
    }
  });
});

describe('the field of a part', () => {
  it('deep inside a wide part is (1 + nu) / 2 of its free strain, as in a circular inclusion', () => {
    // Eshelby, Proceedings of the Royal Society A 241 (1957), in plane stress; 5 % for the square and its edges.
    const half = 0.5;
    const corners = [
      [-half, -half],
      [half, -half],
      [half, half],
      [-half, half],
    ] as const;
    const [alongX, alongY] = partFields({ ...parts[0]!, outlineM: corners }, { ...plate, thicknessM: 0.005 });
    const [ax, , ag] = alongX(0, 0);
    const [bx] = alongY(0, 0);
    near(ax + bx, (1 + plate.poissonsRatio) / 2, 0.05 * (1 + plate.poissonsRatio), 'equal strain');
    near(ag, 0, 1e-9, 'shear');
  });

  it('contracts under the part and stretches toward it outside', () => {
    const [alongX, alongY] = partFields(parts[0]!, plate);
    const sum = (x: number, y: number): Tensor => {
      const [a, b] = [alongX(x, y), alongY(x, y)];
      return [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
    };
    const [ex, ey] = sum(0.07, 0.0625);
    assert.ok(ex > 0 && ey > 0, 'free expansion expands under the part');
    assert.ok(sum(0.2, 0.0625)[0] < 0, 'and presses along the line to it outside');
  });
});

describe('kernels of a break', () => {
  it('have their larger principal change along the asked direction at the origin', () => {
    for (const shape of ['nucleus', 'patch', 'exponential'] as const) {
      const field = kernelField(
        { shape, originM: [0.1, 0.1], toM: [0.1, 0.1], widthM: 0.03, directionRad: 0.5, ratio: 0.2 },
        0.33,
      );
      const [ex, ey, gxy] = field(0.1, 0.1);
      near(0.5 * Math.atan2(gxy, ex - ey), 0.5, 1e-9, shape);
      assert.ok(ex + ey > 0, shape);
    }
  });

  it('an edge is felt alike at both ends', () => {
    const field = kernelField(
      { shape: 'edge', originM: [0, 0], toM: [0.06, 0], widthM: 0.02, directionRad: 0, ratio: 1 },
      0.3,
    );
    near(field(0.07, 0.01)[0], field(-0.01, 0.01)[0], 1e-6);
  });
});

describe('size, height and outline', () => {
  it('the largest strain of a tensor is its larger principal', () => {
    // Principals of (60, 246, -149): 272.2 and 33.8, by Mohr's circle 153 +- sqrt(93^2 + 74.5^2).
    near(largestStrain([60, 246, -149]), 153 + Math.hypot(93, 74.5), 1e-9);
    near(largestStrain([-60, -246, 149]), 153 + Math.hypot(93, 74.5), 1e-9);
    near(largestStrain(unitTensor(1.1, -0.3)), 1, 1e-12);
  });

  it('a force at the top face gives four times the mean strain there and minus twice below, if the plate may bend', () => {
    // Eccentric load on a beam: N/A (1 +- 6 e / t) with e = t/2 gives 4 and -2 (any text on strength of materials).
    const free = { ...plate, bendingShare: 1 };
    near(heightFactor(free, plate.thicknessM / 2), 4, 1e-12);
    near(heightFactor(free, -plate.thicknessM / 2), -2, 1e-12);
    assert.equal(heightFactor({ ...plate, bendingShare: 0 }, 0.01), 1);
  });

  it('tells inside from outside, also for a hollow outline', () => {
    const outline = [
      [0, 0],
      [4, 0],
      [4, 3],
      [2, 1],
      [0, 3],
    ] as const;
    assert.equal(insideOutline(outline, 2, 0.5), true);
    assert.equal(insideOutline(outline, 2, 2), false);
    assert.equal(insideOutline(outline, 5, 1), false);
  });
});
