// What draws of builds have in common.
import type { RandomStream } from '../../../src/cli/simulation/random.ts';

export const micro = 1e-6;
export const milli = 1e-3;
export const degree = Math.PI / 180;

export function pick<T>(random: RandomStream, values: readonly T[]): T {
  return values[Math.floor(random.uniform() * values.length)]!;
}
