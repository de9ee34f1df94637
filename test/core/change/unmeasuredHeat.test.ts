// A plate whose temperature nothing measures: it expands or contracts as a whole, the same in all directions, by its
// coefficient of expansion; strain that a break lets go does not.
import assert from 'node:assert/strict';
import { quietPlate, watch } from '../../support/quietPlate.ts';
import type { StrainEvent } from '../../../src/core/change/events.ts';

/** `felt`: microstrain that each cell is given, by row and direction (0, 60, 120 degrees). */
function told(columns: number, felt: (cell: number, fibre: number, row: number) => number): readonly StrainEvent[] {
  const reading = (value: number, cell: number, fibre: number, row: number): number => value + felt(cell, fibre, row);
  return watch(quietPlate({ columns, rows: columns, samples: 1500, reading })).events;
}

describe('a plate whose temperature nothing measures', () => {
  for (const columns of [2, 3]) {
    for (const [way, microstrain] of [
      ['cools', -60],
      ['warms', 60],
    ] as const) {
      for (const overS of [30, 120]) {
        it(`is told to change its temperature where it ${way} within ${overS} s, ${columns} x ${columns} cells`, () => {
          // Not everywhere by quite the same.
          const share = (cell: number): number => 1 - 0.2 * ((cell % columns) / columns);
          const events = told(columns, (cell, _, row) => {
            return microstrain * share(cell) * Math.max(0, Math.min(1, (row - 700) / overS));
          });
          const metal = events.filter(({ nature, sure }) => nature === 'mechanical' && sure);
          assert.deepEqual(
            metal.map(({ message }) => message),
            [],
          );
          assert.ok(events.some(({ nature }) => nature === 'thermal'));
        });
      }
    }
  }

  it('is not told so where a part lets go beneath several cells at once', () => {
    // Stress let go along 0 degrees: by Hooke, minus nu times as much across it; by Mohr's circle at 60 and 120 degrees.
    const along = 1;
    const across = -0.33;
    const at60 = (along + across) / 2 + ((along - across) / 2) * Math.cos((2 * Math.PI) / 3);
    const events = told(3, (cell, fibre, row) => {
      const reach = [0.3, 0.5, 0.3, 0.5, 1, 0.5, 0.3, 0.5, 0.3][cell]!;
      return row >= 700 ? 40 * reach * (fibre === 0 ? along : at60) : 0;
    });
    assert.equal(events.length, 1);
    assert.equal(events[0]!.nature, 'mechanical');
    assert.ok(Math.abs(events[0]!.row - 700) <= 1);
  });
});
