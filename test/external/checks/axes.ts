// Axial statistics: worked examples of doubled angles. Degrees.
import { axialDifference, axialMean } from '../../../src/core/strain/axial.ts';
import type { Check } from '../check.ts';

const mardia = 'Mardia & Jupp, Directional Statistics, 2000: axial data, doubled angles';
const degree = Math.PI / 180;
const meanOf = (angles: readonly number[]): ReturnType<typeof axialMean> => axialMean(angles.map((a) => a * degree));

/** Distance of an axis from the expected one, so that 0 and 180 are alike. */
const apart = (angles: readonly number[], expected: number): number =>
  axialDifference(meanOf(angles).meanRad, expected * degree) / degree;

function group(angles: readonly number[], mean: number, resultant: number, deviation?: number): Check[] {
  const base = { source: mardia, basis: 'closed form' } as const;
  const of = `of the axes ${angles.join(', ')}`;
  return [
    {
      ...base,
      quantity: `mean (less ${mean}) ${of}`,
      unit: 'deg',
      expected: 0,
      tolerance: 1e-9,
      got: () => apart(angles, mean),
    },
    {
      ...base,
      quantity: `mean resultant ${of}`,
      unit: '',
      expected: resultant,
      tolerance: 5e-7,
      got: () => meanOf(angles).resultant,
    },
    ...(deviation === undefined
      ? []
      : [
          {
            ...base,
            quantity: `axial deviation ${of}`,
            unit: 'deg',
            expected: deviation,
            tolerance: 5e-4,
            got: (): number => meanOf(angles).deviationRad / degree,
          },
        ]),
  ];
}

const differences: Check[] = [
  [5, 175, 10],
  [175, 5, -10],
  [100, 5, -85],
  [95, 5, -90],
  [96, 5, -89],
  [0, 180, 0],
  [89, -89, -2],
].map(([to, from, expected]) => ({
  source: mardia,
  basis: 'closed form',
  quantity: `turn from axis ${from} to axis ${to}`,
  unit: 'deg',
  expected: expected!,
  tolerance: 1e-9,
  got: () => axialDifference(to! * degree, from! * degree) / degree,
}));

export const axialChecks: readonly Check[] = [
  ...group([170, 175, 5, 10], 0, 0.96225, 7.947),
  ...group([80, 85, 95, 100], 90, 0.96225),
  ...group([1, 179], 0, 0.999391),
  ...group([10, 20, 30], 20, 0.959795, 8.207),
  ...group([10, 15, 20, 100], 17.5, 0.498097),
  ...group([45, 50, 55, 40, 60], 50, 0.9698),
  ...differences,
];
