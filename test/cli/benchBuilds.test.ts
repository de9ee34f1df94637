// The bench measures what its lines say: enough builds and hours, and breaks of the sizes and extents they are named for.
import assert from 'node:assert/strict';
import { largestStrain } from '../../src/cli/simulation/plateField.ts';
import { SimulatedBuild } from '../../src/cli/simulation/simulatedBuild.ts';
import { trueEvents } from '../../src/cli/simulation/truth.ts';
import type { TrueEvent } from '../../src/cli/simulation/truth.ts';
import { benchBuild, benchBuildCount } from '../bench/detection/benchBuilds.ts';

describe('the set of simulated builds', () => {
  const builds = Array.from({ length: benchBuildCount }, (_, i) => new SimulatedBuild(benchBuild(i).scenario));
  const events = builds.flatMap((build) => trueEvents(build).map((event) => ({ event, sigma: build.sigma })));
  const labelled = (label: string) => events.filter(({ event }) => event.label === label);

  it('has at least 60 builds of together at least 300 hours, some of them without events', () => {
    assert.ok(builds.length >= 60);
    assert.ok(builds.reduce((sum, { clock }) => sum + clock.endS / 3600, 0) >= 300);
    assert.ok(builds.filter((build) => trueEvents(build).length === 0).length >= 10);
  });

  it('is drawn alike each time', () => {
    assert.deepEqual(benchBuild(17), benchBuild(17));
  });

  it('has enough of every kind to measure it', () => {
    for (const kind of [
      'release',
      'crack',
      'strike',
      'creep-off',
      'heat',
      'dropout',
      'stuck',
      'spike',
      'jump',
      'wander',
    ]) {
      assert.ok(events.filter(({ event }) => event.kind === kind).length >= 20, kind);
    }
  });

  it('breaks in one cell are of their size there and next to nothing elsewhere', () => {
    for (const size of [3, 5, 8]) {
      for (const { event, sigma } of labelled(`one cell, ${size} sigma`)) {
        const [first, second] = strongest(event, sigma);
        assert.ok(Math.abs(first! - size) < 1e-6);
        assert.ok((second ?? 0) < 0.2 * size, `${event.timeS}`);
      }
    }
  });

  it('breaks over three cells are of 3 sigma there in the mean', () => {
    for (const { event, sigma } of labelled('three cells, 3 sigma')) {
      const [a, b, c] = strongest(event, sigma);
      // Strongest in its stronger plane; with two planes the cell with the larger one counts.
      assert.ok(Math.abs((a! + b! + c!) / 3 - 3) < 0.05, `${a} ${b} ${c}`);
    }
  });
});

/** Largest strain per cell in multiples of the noise, strongest cell first. */
function strongest({ cells }: TrueEvent, sigma: number): number[] {
  const perCell = new Map<string, number>();
  for (const { cell, change } of cells) {
    perCell.set(cell, Math.max(perCell.get(cell) ?? 0, largestStrain([...change]) / sigma));
  }
  return [...perCell.values()].sort((a, b) => b - a);
}
