// The fixed set of simulated builds on which detection is measured: many plates, layouts, rates, noises and kernels, with
// breaks from hardly above noise to gross, strikes, curling, laser stops and sick sensors, and builds where nothing breaks.
// Each build is drawn from its own seeded stream, so the set is the same on every machine and a subset is a part of it.
import { RandomStream } from '../../../src/cli/simulation/random.ts';
import type { Scenario } from '../../../src/cli/simulation/scenario.ts';
import { withEvents } from './benchEvents.ts';
import { plainBuild } from './benchPlates.ts';

export interface BenchBuild {
  readonly name: string;
  readonly scenario: Scenario;
}

export const benchBuildCount = 72;

/** Rates in Hz with the hours that a build at that rate lasts; the fast ones are short so that the bench stays short. */
const paces = [
  [1, 6],
  [0.2, 9],
  [2, 4],
  [0.5, 8],
  [1, 6],
  [5, 1.5],
  [0.1, 10],
  [1, 5],
  [10, 0.8],
  [0.5, 7],
  [2, 3],
  [1, 6],
] as const;

export function benchBuild(index: number): BenchBuild {
  const random = new RandomStream(index, 'bench build');
  const [rateHz, hours] = paces[index % paces.length]!;
  const quiet = index % 4 === 3;
  const bare = plainBuild(index, random, rateHz, hours * 3600);
  const scenario = quiet ? bare : withEvents(bare, random, hours * 3600);
  return { name: `build ${index + 1}`, scenario };
}
