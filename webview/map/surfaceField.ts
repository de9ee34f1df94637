// The scalar drawn as a surface between the cells: taken from the plate's state or from an event's change.
import type { MapField } from '../../src/core/display/map/svgMap.ts';
import type { PairView } from './mapPairs.ts';

export const surfaceChoices = [
  { value: '', text: 'no surface' },
  { value: 'first', text: 'larger principal value' },
  { value: 'second', text: 'smaller principal value' },
  { value: 'mean', text: 'mean of the principal values' },
  { value: 'shear', text: 'half the principal difference' },
] as const;

/** Undefined where no surface is wanted. Same unit as the crosses. */
export function surfaceField(choice: string, { pairs }: PairView, cells: number): MapField | undefined {
  const form = surfaceChoices.find(({ value }) => value === choice);
  if (!form || form.value === '') return undefined;
  const values = new Array<number>(cells).fill(NaN);
  for (const { cell, first, second } of pairs) {
    values[cell] = { first, second, mean: (first + second) / 2, shear: (first - second) / 2 }[form.value];
  }
  return { title: form.text, values, signed: form.value !== 'shear' };
}
