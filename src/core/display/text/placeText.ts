// Where an event began, in words.
import { fixed } from '../numberFormat.ts';
import { measureIn, millimetres } from '../units.ts';

/** '75, 120 mm, spread 8.20 mm'; metres in. */
export function placeText([x, y]: readonly [number, number], spreadM: number): string {
  const { scale, unitLabel } = millimetres;
  return `${fixed(x * scale, 0)}, ${fixed(y * scale, 0)} ${unitLabel}, spread ${measureIn(millimetres, spreadM)}`;
}
