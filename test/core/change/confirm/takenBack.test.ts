// A second break soon after a first one in the same cell is no return of the first where one fibre keeps much of it. Truth is what
// the test put in.
import assert from 'node:assert/strict';
import { quietPlate, watch } from '../../../support/quietPlate.ts';
import type { Watched } from '../../../support/quietPlate.ts';

/** Two changes of the fibres of the middle cell (microstrain), ten rows apart. */
function told(first: readonly number[], second: readonly number[], seed: number): Watched['events'] {
  const reading = (value: number, cell: number, fibre: number, row: number): number =>
    value + (cell === 4 && row >= 700 ? first[fibre]! : 0) + (cell === 4 && row >= 710 ? second[fibre]! : 0);
  return watch(quietPlate({ seed, reading })).events.filter(({ nature }) => nature === 'mechanical');
}

describe('what comes ten rows after a break of its cell', () => {
  it('takes nothing back where one fibre keeps half of its change', () => {
    for (let seed = 1; seed <= 6; seed++) {
      const events = told([30, 24, 24], [-15, -24, -24], seed);
      assert.ok(
        events.length > 0 && events.every(({ kind }) => kind !== 'strike'),
        events.map((e) => e.message).join(),
      );
    }
  });

  it('takes it back where it leaves little of any', () => {
    for (let seed = 1; seed <= 6; seed++) {
      const [event, ...others] = told([30, 24, 24], [-28, -24, -26], seed);
      assert.deepEqual([event!.row, event!.endTimeS, others], [700, 710, []]);
    }
  });
});
