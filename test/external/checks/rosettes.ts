// Rosettes of three and more directions, rotations and Mohr's circle, from textbooks. All in um/m and degrees.
import { strainAlong } from '../../../src/core/strain/principal.ts';
import { measured } from '../../support/oneRow.ts';
import type { MeasuredTensor } from '../../support/oneRow.ts';
import type { Check } from '../check.ts';

type Key = keyof MeasuredTensor | 'gmax' | 'dir2';

/** One check per printed figure of one worked example. */
function example(
  source: string,
  basis: Check['basis'],
  directionsDeg: readonly number[],
  readings: readonly number[],
  printed: Partial<Record<Key, readonly [value: number, tolerance: number]>>,
): Check[] {
  const quantity = (key: Key): number => {
    const tensor = measured(directionsDeg, readings);
    if (key === 'gmax') return tensor.e1 - tensor.e2;
    if (key === 'dir2') return (tensor.dir + 90) % 180;
    return tensor[key];
  };
  return Object.entries(printed).map(([key, [expected, tolerance]]) => ({
    source,
    basis,
    quantity: `${key} of ${directionsDeg.join('/')} reading ${readings.join(', ')}`,
    unit: key.startsWith('dir') ? 'deg' : 'um/m',
    expected,
    tolerance,
    got: () => quantity(key as Key),
  }));
}

/** A known tensor, read in three directions first, so that the whole way is checked. */
function fromTensor(
  source: string,
  [ex, ey, gxy]: readonly [number, number, number],
  printed: Partial<Record<Key, readonly [number, number]>>,
): Check[] {
  const directions = [0, 45, 90];
  const readings = directions.map((angle) => strainAlong(ex, ey, gxy, (angle * Math.PI) / 180));
  return example(source, 'published, from memory', directions, readings, printed).map((check) => ({
    ...check,
    quantity: `${check.quantity.split(' ')[0]} of ex, ey, gxy = ${ex}, ${ey}, ${gxy}`,
  }));
}

/** Fibres at 0, 45 and 90 degrees have the turn less in axes that are turned; the converter solves for these. */
function turned(
  source: string,
  [ex, ey, gxy]: readonly [number, number, number],
  turnDeg: number,
  printed: readonly (readonly [number, number])[],
): Check[] {
  return printed.map(([expected, tolerance], i) => ({
    source,
    basis: 'published, from memory',
    quantity: `${['ex', 'ey', 'gxy'][i]} of ${ex}, ${ey}, ${gxy} in axes turned by ${turnDeg} deg`,
    unit: 'um/m',
    expected,
    tolerance,
    got: () => {
      const directions = [0, 45, 90];
      const readings = directions.map((angle) => strainAlong(ex, ey, gxy, (angle * Math.PI) / 180));
      const tensor = measured(
        directions.map((angle) => angle - turnDeg),
        readings,
      );
      return tensor[(['ex', 'ey', 'gxy'] as const)[i]!];
    },
  }));
}

const rotatingMember: Check[] = [
  ['e1', 1330.04, 0.006],
  ['e2', -910.04, 0.006],
  ['dir', 30, 0.001],
].map(([key, expected, tolerance]) => ({
  ...fromTensor('Philpot, Mechanics of Materials, web exercise M13.6', [770, -350, 1940], {
    [key as Key]: [expected as number, tolerance as number],
  })[0]!,
  basis: 'published, read',
}));

export const rosetteChecks: readonly Check[] = [
  ...example('Hibbeler, Mechanics of Materials, Ex. 10.8', 'published, from memory', [0, 60, 120], [60, 135, 264], {
    ex: [60, 1e-9],
    ey: [246, 0.5],
    gxy: [-149, 0.5],
    e1: [272, 0.5],
    e2: [33.8, 0.06],
    dir2: [19.3, 0.05],
  }),
  ...example(
    'Beer & Johnston, Mechanics of Materials, Sample Problem 7.7',
    'published, from memory',
    [0, 60, 120],
    [40, 980, 330],
    {
      ey: [860, 0.5],
      gxy: [750, 0.6],
      e1: [1006, 0.5],
      e2: [-106, 0.5],
      dir2: [180 - 21.2, 0.05],
    },
  ),
  ...fromTensor('Hibbeler, Mechanics of Materials, Ex. 10.2 and 10.3', [-350, 200, 80], {
    e1: [203, 0.5],
    e2: [-353, 0.5],
    dir2: [180 - 4.14, 0.005],
    gmax: [556, 0.5],
  }),
  ...fromTensor('Hibbeler, Mechanics of Materials, Ex. 10.4 and 10.5', [250, -150, 120], {
    e1: [259, 0.5],
    e2: [-159, 0.5],
    dir: [8.35, 0.005],
    gmax: [418, 0.5],
  }),
  ...fromTensor('Gere, Mechanics of Materials, ch. 7 (printed to tens)', [340, 110, 180], {
    e1: [370, 5],
    e2: [80, 5],
    dir: [19, 0.05],
    gmax: [290, 5],
  }),
  ...rotatingMember,
  ...turned('Hibbeler, Mechanics of Materials, Ex. 10.1', [500, -300, 200], -30, [
    [213, 0.5],
    [-13.4, 0.05],
    [793, 0.5],
  ]),
  ...turned('Hibbeler, Mechanics of Materials, Ex. 10.6', [-300, -100, 100], -20, [
    [-309, 0.5],
    [-91.3, 0.05],
    [-52, 0.05],
  ]),
  ...turned('Gere, Mechanics of Materials, ch. 7 (printed to tens)', [340, 110, 180], 30, [
    [360, 5],
    [90, 5],
    [-110, 5],
  ]),
  ...example(
    'posed exercise: misaligned gauges; solved apart with numpy',
    'closed form',
    [3, 51, 96],
    [130, -110, 140],
    {
      ex: [154.348, 5e-4],
      ey: [91.225, 5e-4],
      gxy: [-462.557, 5e-4],
      e1: [356.208, 5e-4],
      dir: [180 - 41.115, 5e-4],
    },
  ),
  ...example('constructed, four directions without misfit', 'closed form', [0, 45, 90, 135], [300, 250, -100, -50], {
    e1: [350, 1e-9 * 350],
    e2: [-150, 1e-9 * 150],
    dir: [(Math.atan(0.75) * 90) / Math.PI, 1e-9],
    residual: [0, 1e-9],
  }),
  ...example(
    'constructed, misfit m of 0/45/90/135 splits as m/4',
    'closed form',
    [0, 45, 90, 135],
    [300, 250, -100, -30],
    {
      ex: [305, 1e-9 * 305],
      ey: [-95, 1e-9 * 95],
      gxy: [280, 1e-9 * 280],
      residual: [10, 1e-8],
    },
  ),
  ...example(
    'five directions, solved apart with numpy',
    'another library',
    [0, 30, 60, 90, 135],
    [100, 210, 260, 200, 40],
    {
      ex: [96.79865, 5e-6],
      ey: [196.79865, 5e-6],
      gxy: [207.6543, 5e-6],
      dir: [57.857, 5e-4],
      residual: [4.19605, 5e-6],
    },
  ),
  ...example('three odd directions, solved apart with numpy', 'another library', [10, 55, 100], [400, -120, 60], {
    ex: [509.4548, 5e-5],
    gxy: [-541.498, 5e-5],
    e1: [619.1015, 5e-5],
    e2: [-159.1015, 5e-5],
    dir: [180 - 22.047, 5e-4],
  }),
];
