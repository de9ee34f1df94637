// Plates: strain fields of published deflections, sampled by rosettes on planes below and above the mid-plane, must give
// the published moments back. Deflection w is upwards here, a load q pushes downwards, so moments come out with the sign
// opposite to the books', which count moments positive when the bottom is in tension and the load downwards.
import { planeFit, plateStrain, strainAt, bendingStiffness } from '../../../src/core/strain/plates.ts';
import type { Plate } from '../../../src/core/header/logHeader.ts';
import { fromPlanes } from '../../support/oneRow.ts';
import type { StrainAtHeight } from '../../support/oneRow.ts';
import type { Check } from '../check.ts';

const timoshenko = 'Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed.';
const roark = "Roark's Formulas for Stress and Strain, flat circular plates";

/** Steel of nu = 0.3, 10 mm thick, and a load of 10 kPa. */
const plate: Partial<Plate> = { youngsModulusPa: 200e9, poissonsRatio: 0.3, thicknessM: 0.01 };
const load = 10e3;
const stiffness = bendingStiffness({ youngsModulusPa: 200e9, poissonsRatio: 0.3, yieldStressPa: NaN }, 0.01);
const heights = [-0.004, 0.003];

/** Strain over the height from the second derivatives of an upward deflection, 1/m. */
const bent =
  (wxx: number, wyy: number, wxy: number): StrainAtHeight =>
  (z) => [-z * wxx, -z * wyy, -2 * z * wxy];

/** Second derivatives at the centre of a simply supported a x b plate, Navier's series, per q/D; w upwards, load down. */
function navierCentre(a: number, b: number): [number, number] {
  let [wxx, wyy] = [0, 0];
  for (let m = 1; m < 400; m += 2) {
    for (let n = 1; n < 400; n += 2) {
      const sign = ((m + n) / 2) % 2 === 1 ? 1 : -1;
      const size = 16 / (Math.PI ** 6 * m * n * ((m / a) ** 2 + (n / b) ** 2) ** 2);
      wxx += sign * size * ((m * Math.PI) / a) ** 2;
      wyy += sign * size * ((n * Math.PI) / b) ** 2;
    }
  }
  return [wxx, wyy];
}

const supported: Check[] = [
  [1, 0.0479, 0.0479],
  [1.2, 0.0627, 0.0501],
  [1.5, 0.0812, 0.0498],
  [2, 0.1017, 0.0464],
  [3, 0.1189, 0.0406],
].flatMap(([ratio, mx, my]) =>
  (['mx', 'my'] as const).map((suffix) => ({
    source: `${timoshenko}, table 8; the field by Navier's series, summed in the check`,
    basis: 'published, from memory' as const,
    quantity: `-${suffix} / q a^2 at the centre, simply supported, b/a = ${ratio}`,
    unit: '',
    expected: suffix === 'mx' ? mx! : my!,
    tolerance: 6e-5,
    got: (): number => {
      const [wxx, wyy] = navierCentre(0.5, 0.5 * ratio!);
      const k = load / stiffness;
      return -fromPlanes(suffix, plate, heights, bent(k * wxx, k * wyy, 0)) / (load * 0.25);
    },
  })),
);

/** Second derivatives of the upward deflection of a circular plate of radius a under a uniform load. */
function circular(a: number, r: number, edge: 'clamped' | 'supported'): [number, number] {
  const k = load / (64 * stiffness);
  // w = -k (a^2 - r^2)(c a^2 - r^2) = -k (c a^4 - (1 + c) a^2 r^2 + r^4)
  const c = edge === 'clamped' ? 1 : 5.3 / 1.3;
  const radial = -k * (-2 * (1 + c) * a * a + 12 * r * r);
  const around = -k * (-2 * (1 + c) * a * a + 4 * r * r);
  return [radial, around];
}

const circularChecks: Check[] = [
  ['clamped, centre: (1 + nu)/16', 'clamped', 0, 0.08125],
  ['clamped, edge: -1/8', 'clamped', 1, -0.125],
  ['simply supported, centre: (3 + nu)/16', 'supported', 0, 0.20625],
  ['simply supported, edge: 0', 'supported', 1, 0],
].map(([where, edge, r, expected]) => ({
  source: roark,
  basis: 'published, from memory',
  quantity: `-mx / q a^2, circular, ${where as string}`,
  unit: '',
  expected: expected as number,
  tolerance: 1e-10,
  got: (): number => {
    const a = 0.125;
    const [wxx, wyy] = circular(a, (r as number) * a, edge as 'clamped' | 'supported');
    return -fromPlanes('mx', plate, heights, bent(wxx, wyy, 0)) / (load * a * a);
  },
}));

const aluminium: Partial<Plate> = { youngsModulusPa: 68.9e9, poissonsRatio: 0.33, thicknessM: 0.025 };
const twoPlanes: StrainAtHeight = (z) => (z < 0 ? [-40e-6, -10e-6, 12e-6] : [160e-6, 70e-6, -28e-6]);

const workedPlate: Check[] = [
  ['kx', 0.0125, 1e-11],
  ['ky', 0.005, 1e-11],
  ['kxy', -0.0025, 1e-11],
  ['mx', 1424.584, 5e-4],
  ['my', 918.68, 5e-4],
  ['mxy', -84.317, 5e-4],
  ['nx', 135_117.0, 0.05],
  ['ny', 96_263.6, 0.05],
  ['nxy', -5_180.5, 0.05],
].map(([suffix, expected, tolerance]) => ({
  source: 'Kirchhoff plate, 6061 of 25 mm, planes at -8 and +8 mm; worked apart with numpy',
  basis: 'closed form',
  quantity: `${suffix as string} from strains (-40, -10, 12) below, (160, 70, -28) um/m above`,
  unit: { k: '1/m', m: 'N m/m', n: 'N/m' }[(suffix as string)[0]!]!,
  expected: expected as number,
  tolerance: tolerance as number,
  got: () => fromPlanes(suffix as string, aluminium, [-0.008, 0.008], twoPlanes, [0, 45, 90, 135]),
}));

const hindered: Check[] = [
  {
    source: `${timoshenko}, clamped plate with a gradient: M = -D (1 + nu) a dT / t`,
    basis: 'closed form',
    quantity: 'moment of clamped 6061, 40 K through 25 mm',
    unit: 'N m/m',
    expected: -5056.09,
    tolerance: 5e-3,
    got: () =>
      fromPlanes('mx', aluminium, [-0.008, 0.008], (z) => {
        const strain = -23.6e-6 * ((40 * z) / 0.025);
        return [strain, strain, 0];
      }),
  },
];

/**
 * By hand: E t^3 / 12 = 200e9 x 1e-6 / 12 = 16 666.67 N m, which 0.01 1/m makes 166.667 N m/m. A strip that is free to
 * curl has no other moment; one kept from curling is stiffer by 1/(1 - nu^2) and has nu of it across.
 */
const strip = (200e9 * 0.01 ** 3 * 0.01) / 12;
const bends: readonly (readonly [
  suffix: string,
  what: string,
  second: readonly [number, number, number],
  expected: number,
])[] = [
  ['mx', 'strip bent to 100 m, free to curl by -nu', [-0.01, 0.003, 0], strip],
  ['my', 'strip bent to 100 m, free to curl by -nu', [-0.01, 0.003, 0], 0],
  ['mx', 'plate bent to 100 m, kept from curling', [-0.01, 0, 0], strip / 0.91],
  ['my', 'plate bent to 100 m, kept from curling', [-0.01, 0, 0], (0.3 * strip) / 0.91],
  ['mx', 'bowl of 100 m', [-0.01, -0.01, 0], strip / 0.7],
  ['mxy', 'plate twisted by w,xy = -0.01 1/m: 2 (1 - nu) / 2 of D', [0, 0, -0.01], (0.7 * strip) / 0.91],
];

const pure = bends.map(([suffix, what, second, expected]): Check => ({
  source: `${timoshenko}, art. 10 and 11, pure bending and twist; by hand`,
  basis: 'closed form',
  quantity: `${suffix} of a ${what}, planes at -4 and +3 mm`,
  unit: 'N m/m',
  expected,
  tolerance: 1e-9 * strip,
  got: () => fromPlanes(suffix, plate, heights, bent(...second)),
}));

/** By hand: 1 MN/m along x stretches steel of 10 mm by N / E t = 500 um/m and narrows it by nu of that, without bending. */
const pulled: Check[] = [
  ['nx', 1e6, 'N/m'],
  ['ny', 0, 'N/m'],
  ['mx', 0, 'N m/m'],
].map(([suffix, expected, unit]) => ({
  source: 'strip under a pull along x: e = N / E t, -nu e across; by hand',
  basis: 'closed form',
  quantity: `${suffix as string} of steel of 10 mm pulled by 1 MN/m, planes at -4 and +3 mm`,
  unit: unit as string,
  expected: expected as number,
  tolerance: 1e-3,
  got: () => fromPlanes(suffix as string, plate, heights, () => [500e-6, -150e-6, 0]),
}));

const faces: Check[] = [
  ['ex', 0, 216.25],
  ['ey', 1, 92.5],
  ['gxy', 2, -39.25],
].map(([name, component, expected]) => ({
  source: 'Kirchhoff plate, 6061 of 25 mm; worked apart with numpy',
  basis: 'closed form',
  quantity: `${name as string} at the top face from planes at -8 and +8 mm`,
  unit: 'um/m',
  expected: expected as number,
  tolerance: 1e-6,
  got: (): number => {
    const fitted = plateStrain(planeFit([-0.008, 0.008])!, [twoPlanes(-1), twoPlanes(1)]);
    return strainAt(fitted, 0.0125)[component as 0 | 1 | 2] * 1e6;
  },
}));

export const plateChecks: readonly Check[] = [
  ...supported,
  ...circularChecks,
  ...workedPlate,
  ...faces,
  ...hindered,
  ...pure,
  ...pulled,
];
