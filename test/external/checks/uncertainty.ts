// Propagated uncertainty against Monte Carlo: readings with normal noise go through the converter ten thousands of times,
// and their scatter must be what first-order propagation says. Seeded; expected is the measured scatter.
import { RandomStream } from '../../../src/cli/simulation/random.ts';
import { CellStrain } from '../../../src/core/strain/cellStrain.ts';
import { planeStress, stressCovariance, stressErrors } from '../../../src/core/strain/hooke.ts';
import { cellLayouts } from '../../../src/core/strain/layout.ts';
import { combinedCovariance, momentCovariance, planeFit } from '../../../src/core/strain/plates.ts';
import { principalErrors, strainAlong } from '../../../src/core/strain/principal.ts';
import { solveRosette } from '../../../src/core/strain/rosette.ts';
import { SeriesValues } from '../../../src/core/strain/seriesValues.ts';
import { plainContext } from '../../support/oneRow.ts';
import { aluminiumPlate, header, rowBlock } from '../../support/strainLog.ts';
import { axialDifference } from '../../../src/core/strain/axial.ts';
import type { Check } from '../check.ts';

const degree = Math.PI / 180;
const draws = 40_000;

interface Scatter {
  readonly e1: number;
  readonly e2: number;
  readonly dir: number;
  readonly s1: number;
  readonly vonMises: number;
}

/** Root mean square scatter about the truth of what the converter makes of noisy readings; strains in um/m, MPa, deg. */
function scatter(directionsDeg: readonly number[], tensor: readonly [number, number, number], sigma: number): Scatter {
  const log = header({
    channels: directionsDeg.map((directionDeg, i) => ({ name: `c${i}`, kind: 'strain', directionDeg })),
  });
  const random = new RandomStream(20260302, directionsDeg.join('/'));
  const clean = directionsDeg.map((angle) => strainAlong(...tensor, angle * degree));
  const rows = rowBlock(
    Array.from({ length: draws }, (_, t) => [t, 0, ...clean.map((e) => e + sigma * random.normal())]),
  );
  // Noise stated as next to none, so that no direction is held back.
  const strain = new CellStrain(log, cellLayouts(log)[0]!, plainContext(log, 1e-12), draws);
  const { e1, e2, dir } = strain.convert(rows).rosettes[0]!;
  const [ex, ey, gxy] = tensor;
  const half = Math.hypot(ex - ey, gxy) / 2;
  const truth = { e1: (ex + ey) / 2 + half, e2: (ex + ey) / 2 - half, dir: 0.5 * Math.atan2(gxy, ex - ey) };
  const rms = (difference: (i: number) => number): number => {
    let sum = 0;
    for (let i = 0; i < draws; i++) sum += difference(i) ** 2;
    return Math.sqrt(sum / draws);
  };
  const stressOf = (a: number, b: number): { s1: number; v: number } => {
    const { sx, sy } = planeStress(a * 1e-6, b * 1e-6, 0, aluminiumPlate);
    return { s1: sx * 1e-6, v: Math.sqrt(sx * sx - sx * sy + sy * sy) * 1e-6 };
  };
  const trueStress = stressOf(truth.e1, truth.e2);
  const at = (i: number): { s1: number; v: number } => stressOf(e1[i]! * 1e6, e2[i]! * 1e6);
  return {
    e1: rms((i) => e1[i]! * 1e6 - truth.e1),
    e2: rms((i) => e2[i]! * 1e6 - truth.e2),
    dir: rms((i) => axialDifference(dir[i]!, truth.dir)) / degree,
    s1: rms((i) => at(i).s1 - trueStress.s1),
    vonMises: rms((i) => at(i).v - trueStress.v),
  };
}

function propagated(
  directionsDeg: readonly number[],
  [ex, ey, gxy]: readonly [number, number, number],
  sigma: number,
): Scatter {
  const radians = directionsDeg.map((angle) => angle * degree);
  const { covariance } = solveRosette(
    radians,
    radians.map(() => sigma * 1e-6),
  )!;
  const tensor = [ex * 1e-6, ey * 1e-6, gxy * 1e-6] as const;
  const strain = principalErrors(...tensor, covariance);
  const stress = stressErrors(planeStress(...tensor, aluminiumPlate), stressCovariance(covariance, aluminiumPlate));
  return {
    e1: strain.e1 * 1e6,
    e2: strain.e2 * 1e6,
    dir: strain.dirRad / degree,
    s1: stress.s1 * 1e-6,
    vonMises: stress.vonMises * 1e-6,
  };
}

const cases = [
  { directions: [0, 45, 90], tensor: [300, -100, 160] },
  { directions: [0, 60, 120], tensor: [300, -100, 160] },
  { directions: [0, 45, 90, 135], tensor: [-250, 80, -400] },
  { directions: [0, 30, 70, 100, 150], tensor: [150, 90, 200] },
] as const;

const units: Readonly<Record<keyof Scatter, string>> = {
  e1: 'um/m',
  e2: 'um/m',
  dir: 'deg',
  s1: 'MPa',
  vonMises: 'MPa',
};

const monteCarlo: Check[] = cases.flatMap(({ directions, tensor }) => {
  let measured: Scatter | undefined;
  const expected = (key: keyof Scatter): number => (measured ??= scatter(directions, tensor, 5))[key];
  return (Object.keys(units) as (keyof Scatter)[]).map((key) => ({
    source: `Monte Carlo, ${draws} draws of 5 um/m noise`,
    basis: 'simulation' as const,
    quantity: `standard error of ${key}, ${directions.join('/')}, tensor ${tensor.join(', ')}`,
    unit: units[key],
    get expected(): number {
      return expected(key);
    },
    // 1.5 % is four standard errors of the simulation; first order adds a little.
    get tolerance(): number {
      return 0.02 * expected(key);
    },
    got: (): number => propagated(directions, tensor, 5)[key],
  }));
});

const layouts: Check[] = [
  [[0, 45, 90], 1, 1, 6],
  [[0, 60, 120], 1, 1, 8 / 3],
  [[0, 45, 90, 135], 0.75, 0.75, 2],
  [[0, 30, 60, 90, 120, 150], 0.5, 0.5, 4 / 3],
  [[0, 30, 60], 1, 9, 56 / 3],
].flatMap(([directions, ...variances]) =>
  (variances as number[]).map((expected, i) => ({
    source: 'Draper & Smith, Applied Regression Analysis: covariance s^2 (A^T A)^-1',
    basis: 'closed form' as const,
    quantity: `variance of ${['ex', 'ey', 'gxy'][i]} per reading variance, ${(directions as number[]).join('/')}`,
    unit: '',
    expected,
    tolerance: 1e-9,
    got: (): number => {
      const radians = (directions as number[]).map((angle) => angle * degree);
      return solveRosette(
        radians,
        radians.map(() => 1),
      )!.covariance[i]!;
    },
  })),
);

const conditions: Check[] = [
  [[0, 45, 90], 3.186],
  [[0, 60, 120], 2],
  [[0, 45, 90, 135], 2],
  [[0, 30, 60], 7.196],
  [[0, 20, 40], 16.639],
].map(([directions, expected]) => ({
  source: 'numpy.linalg.cond of the design matrix',
  basis: 'another library',
  quantity: `condition number, ${(directions as number[]).join('/')}`,
  unit: '',
  expected: expected as number,
  tolerance: 5e-4,
  got: () =>
    solveRosette(
      (directions as number[]).map((a) => a * degree),
      [],
    )!.condition,
}));

/** SE of the direction = sqrt(2/N) s / gmax for N evenly spread fibres. */
const spread: Check[] = [3, 4].map((n) => ({
  source: 'first-order propagation for N evenly spread directions: sqrt(2/N) s / gmax',
  basis: 'closed form',
  quantity: `standard error of the direction, N = ${n}, gmax 200, noise 5 um/m`,
  unit: 'deg',
  expected: (Math.sqrt(2 / n) * 5) / 200 / degree,
  tolerance: 1e-9,
  got: () =>
    propagated(
      Array.from({ length: n }, (_, k) => (k * 180) / n),
      [120, -40, 120],
      5,
    ).dir,
}));

/**
 * Of 0/45/90/135 degrees one combination is no strain: e0 - e45 + e90 - e135. Weighted least squares (Draper & Smith) gives
 * channel i the share sigma_i^2 / sum sigma^2 of it, so the residuals' squares sum up to sum sigma^4 / sum sigma^2.
 */
const residuals: Check[] = [
  [1, 1, 1, 1],
  [1, 1, 1, 5],
  [2, 3, 4, 5],
].map((noise) => ({
  source: 'weighted fit of 0/45/90/135: expected sum of squared residuals = sum s^4 / sum s^2',
  basis: 'closed form',
  quantity: `residual of a healthy row, noise ${noise.join(', ')} um/m`,
  unit: 'um/m',
  expected: Math.sqrt(noise.reduce((sum, s) => sum + s ** 4, 0) / noise.reduce((sum, s) => sum + s ** 2, 0)),
  tolerance: 1e-9,
  got: () =>
    solveRosette(
      [0, 45, 90, 135].map((angle) => angle * degree),
      noise,
    )!.residualNoise,
}));

/** The quantity itself, over rows of nothing but noise; its mean square must be 1. */
const residualRatio: Check[] = [
  [
    [0, 45, 90, 135],
    [1, 1, 1, 5],
  ],
  [
    [0, 30, 70, 100, 150],
    [1, 2, 3, 1, 4],
  ],
  [
    [0, 45, 90, 135],
    [0.1, 1, 1, 1],
  ],
].map(([directions, noise]) => ({
  source: `Monte Carlo, ${draws} rows of noise alone`,
  basis: 'simulation',
  quantity: `root mean square of resid_ratio, ${directions!.join('/')}, noise ${noise!.join(', ')} um/m`,
  unit: '',
  expected: 1,
  tolerance: 0.02,
  got: () => ratioOfNoise(directions!, noise!),
}));

function ratioOfNoise(directionsDeg: readonly number[], noise: readonly number[]): number {
  const log = header({
    channels: directionsDeg.map((directionDeg, i) => ({ name: `c${i}`, kind: 'strain', directionDeg })),
  });
  const random = new RandomStream(20260302, noise.join('/'));
  const rows = rowBlock(Array.from({ length: draws }, (_, t) => [t, 0, ...noise.map((s) => s * random.normal())]));
  const context = { ...plainContext(log), noise: noise.map((s) => s * 1e-6) };
  const [ratio] = new SeriesValues(log, cellLayouts(log), context, ['B1_up_resid_ratio'], draws).compute(rows);
  return Math.sqrt(ratio!.reduce((sum, value) => sum + value * value, 0) / draws);
}

const moment: Check[] = [
  {
    source: 'two planes: standard error of curvature = sqrt 2 s / (z2 - z1)',
    basis: 'closed form',
    quantity: 'standard error of kx, planes 16 mm apart, 1 um/m',
    unit: '1/m',
    expected: 8.84e-5,
    tolerance: 5e-8,
    got: () => Math.sqrt(curvatureCovariance()[0]),
  },
  {
    source: 'independent kx, ky of equal error s: standard error of Mx = D s sqrt(1 + nu^2)',
    basis: 'closed form',
    quantity: 'standard error of Mx, 6061 of 25 mm, the same planes',
    unit: 'N m/m',
    expected: 100_677.3 * ((Math.SQRT2 * 1e-6) / 0.016) * Math.sqrt(1 + 0.33 ** 2),
    tolerance: 1e-5,
    got: () => Math.sqrt(momentCovariance(curvatureCovariance(), aluminiumPlate, 0.025)[0]),
  },
];

function curvatureCovariance(): ReturnType<typeof combinedCovariance> {
  const plane = { covariance: [1e-12, 1e-12, 6e-12, 0, 0, 0], common: [0, 0, 0] } as const;
  return combinedCovariance(planeFit([-0.008, 0.008])!.curvature, [plane, plane]);
}

export const uncertaintyChecks: readonly Check[] = [
  ...layouts,
  ...conditions,
  ...spread,
  ...residuals,
  ...residualRatio,
  ...moment,
  ...monteCarlo,
];
