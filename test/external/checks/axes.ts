// Turns between axes, by hand: an axis and its half turn are one. Degrees.
import { axialDifference } from '../../../src/core/strain/axial.ts';
import type { Check } from '../check.ts';

const degree = Math.PI / 180;

export const axialChecks: readonly Check[] = [
  [5, 175, 10],
  [175, 5, -10],
  [100, 5, -85],
  [95, 5, -90],
  [96, 5, -89],
  [0, 180, 0],
  [89, -89, -2],
].map(([to, from, expected]) => ({
  source: 'axes repeat after half a turn (Mardia & Jupp, Directional Statistics, 2000)',
  basis: 'closed form',
  quantity: `turn from axis ${from} to axis ${to}`,
  unit: 'deg',
  expected: expected!,
  tolerance: 1e-9,
  got: () => axialDifference(to! * degree, from! * degree) / degree,
}));
