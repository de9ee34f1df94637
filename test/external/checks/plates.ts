// Plates: strain fields of published deflections, sampled by rosettes on planes below and above the mid-plane, must give
// the published moments back. Deflection w is upwards here, a load q pushes downwards, so moments come out with the sign
// opposite to the books', which count moments positive when the bottom is in tension and the load downwards.
import { planeFit, plateStrain, strainAt, bendingStiffness } from '../../../src/core/strain/plates.ts';
import type { Plate } from '../../../src/core/header/logHeader.ts';
import { Matrix, solve } from 'ml-matrix';
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
    source: `${timoshenko}, table 8`,
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

/**
 * Clamped square of half side 1 by Ritz' method: w = sum c (1-x^2)^2 (1-y^2)^2 x^2i y^2j, energy minimal under unit load
 * and stiffness. Gives -w,xx and -w,yy (downward w) at a point.
 */
function clampedSquare(x: number, y: number): [number, number] {
  const terms = 5;
  const [nodes, weights] = gaussLegendre();
  const shape =
    (i: number) =>
    (s: number): [number, number] => {
      // (1 - s^2)^2 s^2i and its second derivative.
      const p = (power: number): number => s ** power;
      const value = p(2 * i) - 2 * p(2 * i + 2) + p(2 * i + 4);
      const d2 = (power: number): number => (power < 2 ? 0 : power * (power - 1) * p(power - 2));
      return [value, d2(2 * i) - 2 * d2(2 * i + 2) + d2(2 * i + 4)];
    };
  const shapes = Array.from({ length: terms }, (_, i) => shape(i));
  const integral = (f: (s: number) => number): number => nodes.reduce((sum, s, k) => sum + weights[k]! * f(s), 0);
  const pair = (f: (i: number, j: number, s: number) => number): number[][] =>
    shapes.map((_, i) => shapes.map((__, j) => integral((s) => f(i, j, s))));
  const I0 = pair((i, j, s) => shapes[i]!(s)[0] * shapes[j]!(s)[0]);
  const I2 = pair((i, j, s) => shapes[i]!(s)[1] * shapes[j]!(s)[1]);
  const I1 = pair((i, j, s) => shapes[i]!(s)[1] * shapes[j]!(s)[0]);
  const n = terms * terms;
  const stiff = Matrix.zeros(n, n);
  const force = Matrix.zeros(n, 1);
  for (let a = 0; a < n; a++) {
    const [i, j] = [Math.floor(a / terms), a % terms];
    force.set(a, 0, integral((s) => shapes[i]!(s)[0]) * integral((s) => shapes[j]!(s)[0]));
    for (let b = 0; b < n; b++) {
      const [k, l] = [Math.floor(b / terms), b % terms];
      const twist = I1[i]![k]! * I1[l]![j]! + I1[k]![i]! * I1[j]![l]!;
      stiff.set(a, b, I2[i]![k]! * I0[j]![l]! + I0[i]![k]! * I2[j]![l]! + twist);
    }
  }
  const c = solve(stiff, force);
  let [wxx, wyy] = [0, 0];
  for (let a = 0; a < n; a++) {
    const [fx, fxx] = shapes[Math.floor(a / terms)]!(x);
    const [fy, fyy] = shapes[a % terms]!(y);
    wxx -= c.get(a, 0) * fxx * fy;
    wyy -= c.get(a, 0) * fx * fyy;
  }
  return [wxx, wyy];
}

/** Sixteen-point rule on -1..1 by Newton's method on the Legendre polynomial. */
function gaussLegendre(): [number[], number[]] {
  const n = 16;
  const nodes: number[] = [];
  const weights: number[] = [];
  for (let i = 0; i < n; i++) {
    let x = Math.cos((Math.PI * (i + 0.75)) / (n + 0.5));
    let slope = 1;
    for (let step = 0; step < 20; step++) {
      let [p0, p1] = [1, x];
      for (let k = 2; k <= n; k++) [p0, p1] = [p1, ((2 * k - 1) * x * p1 - (k - 1) * p0) / k];
      slope = (n * (x * p1 - p0)) / (x * x - 1);
      x -= p1 / slope;
    }
    nodes.push(x);
    weights.push(2 / ((1 - x * x) * slope * slope));
  }
  return [nodes, weights];
}

const clamped: Check[] = [
  ['mx / q a^2 at the centre', 0, 0, 0.0231, 0.00025],
  ['mx / q a^2 at the middle of an edge', 1, 0, -0.0513, 6e-5],
].map(([quantity, x, y, expected, tolerance]) => ({
  source: `${timoshenko}, table 35 (centre: the old table rounds up by 1 %)`,
  basis: 'published, from memory',
  quantity: `-${quantity as string}, clamped square`,
  unit: '',
  expected: expected as number,
  tolerance: tolerance as number,
  got: (): number => {
    const [kx, ky] = clampedSquare(x as number, y as number);
    // Half side 0.25 m: curvature scales with q (a/2)^2 / D.
    const scale = (load * 0.25 ** 2) / stiffness;
    return -fromPlanes('mx', plate, heights, bent(kx * scale, ky * scale, 0)) / (load * 0.25);
  },
}));

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

/** Strip of two bonded halves: curvature from the balance of force and moment, two equations, no closed form. */
function bimetal(expansions: readonly number[], moduli: readonly number[], thickness: number, kelvin: number): number {
  const [z0, z1, z2] = [-thickness, 0, thickness] as const;
  const layers = [
    [z0, z1, moduli[0]!, expansions[0]!],
    [z1, z2, moduli[1]!, expansions[1]!],
  ] as const;
  const balance = Matrix.zeros(2, 2);
  const thermal = Matrix.zeros(2, 1);
  for (const [low, high, E, a] of layers) {
    const [area, first, second] = [high - low, (high ** 2 - low ** 2) / 2, (high ** 3 - low ** 3) / 3];
    balance.set(0, 0, balance.get(0, 0) + E * area);
    balance.set(0, 1, balance.get(0, 1) + E * first);
    balance.set(1, 0, balance.get(1, 0) + E * first);
    balance.set(1, 1, balance.get(1, 1) + E * second);
    thermal.set(0, 0, thermal.get(0, 0) + E * a * kelvin * area);
    thermal.set(1, 0, thermal.get(1, 0) + E * a * kelvin * first);
  }
  const solution = solve(balance, thermal);
  const strain: StrainAtHeight = (z) => [solution.get(0, 0) + z * solution.get(1, 0), 0, 0];
  return fromPlanes('kx', { ...plate, thicknessM: 2 * thickness }, [0.2 * thickness, 0.8 * thickness], strain);
}

const bow: Check[] = [
  {
    source: 'Timoshenko 1925, J. Opt. Soc. Am. 11:233; equal halves: 1.5 da dT / h',
    basis: 'published, from memory',
    quantity: 'curvature of a bimetal strip, 1 mm, da 12e-6, 100 K',
    unit: '1/m',
    expected: -1.8,
    tolerance: 1e-8,
    got: () => bimetal([18e-6, 6e-6], [200e9, 200e9], 0.5e-3, 100),
  },
  {
    source: 'Timoshenko 1925, J. Opt. Soc. Am. 11:233',
    basis: 'published, from memory',
    quantity: 'curvature of a bimetal strip, 141/103 GPa, 1.2/18.7e-6 /K, 100 K',
    unit: '1/m',
    expected: 2.60879,
    tolerance: 5e-6,
    got: () => bimetal([1.2e-6, 18.7e-6], [141e9, 103e9], 0.5e-3, 100),
  },
  {
    source: `${timoshenko}, clamped plate with a gradient: M = -D (1 + nu) a dT / t`,
    basis: 'closed form',
    quantity: 'moment of clamped 6061, 40 K through 25 mm',
    unit: 'N m/m',
    expected: -5056.09,
    tolerance: 5e-3,
    got: () =>
      fromPlanes('mx', aluminium, [-0.008, 0.008], (z) => {
        const hindered = -23.6e-6 * ((40 * z) / 0.025);
        return [hindered, hindered, 0];
      }),
  },
];

/** Upward deflection after separation from the plate, mm at x in mm (AM-Bench 2018, IN625). */
const benchX = [0.5, 7.5, 14.5, 21.5, 28.5, 35.5, 42.5, 49.5];
const benchW = [1.276, 0.997, 0.754, 0.551, 0.387, 0.25, 0.146, 0.065];

const bench: Check[] = [
  {
    source: 'NIST AM-Bench 2018, CHAL-AMB2018-01-PD, Phan et al. 2019 IMMI 8:318 (second hand); parabola by numpy',
    basis: 'published, read',
    quantity: 'curvature of the released IN625 bridge: least-squares line through eight slopes',
    unit: '1/m',
    expected: 0.6871,
    tolerance: 0.0137,
    got: () => {
      const slopes = benchW.slice(1).map((w, i) => [(w - benchW[i]!) / 7, 0, 0] as const);
      const middles = benchX.slice(1).map((x) => (x - 3.5) * 1e-3);
      return plateStrain(planeFit(middles)!, slopes).curvature[0];
    },
  },
];

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
  ...clamped,
  ...circularChecks,
  ...workedPlate,
  ...faces,
  ...bow,
  ...bench,
];
