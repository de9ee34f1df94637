// Readings that stand still: of a sensor that froze, and of one that is coarser than what it measures moves. Which of the
// two, the test put in.
import assert from 'node:assert/strict';
import { RandomStream } from '../../../../src/cli/simulation/random.ts';
import { newHealth, nextReading, resolved, turns } from '../../../../src/core/change/readings/health.ts';

/** Rows at which a channel was told to be stuck. */
function stuckAt(readings: readonly number[]): number[] {
  const health = newHealth();
  return readings.flatMap((reading, row) => (nextReading(health, reading) === turns.stuck ? [row] : []));
}

/** Two hours of a thermometer on a plate that warms up and then wanders, read in steps. */
function thermometer(random: RandomStream, stepK: number, shiftK: number): number[] {
  return Array.from({ length: 7200 }, (_, s) => {
    const trueC = 40 + shiftK + 6 * (1 - Math.exp(-s / 2600)) + 0.4 * Math.sin(s / 300);
    return Math.round((trueC + 0.05 * random.normal()) / stepK) * stepK;
  });
}

describe('a reading that stands still', () => {
  for (const stepK of [0.1, 0.25, 0.5, 1]) {
    it(`is at rest where it is read in steps of ${stepK} K, once that has been seen`, () => {
      const random = new RandomStream(1, 'thermometer');
      const told = Array.from({ length: 20 }, (_, k) => stuckAt(thermometer(random, stepK, 0.05 * k)));
      assert.ok(
        told.every((rows) => rows.length <= 2),
        JSON.stringify(told),
      );
    });
  }

  it('has frozen where it freezes for far longer than it rests', () => {
    const random = new RandomStream(2, 'strain');
    for (const step of [0.1, 0.5, 1, 2]) {
      const readings = Array.from({ length: 3000 }, () => Math.round(random.normal() / step) * step);
      const frozen = readings.map((reading, row) => (row >= 2000 && row < 2400 ? readings[2000]! : reading));
      const [row, ...others] = stuckAt(frozen);
      assert.deepEqual(others, []);
      assert.ok(row! > 2000 && row! < 2400, `${row}, in steps of ${step}`);
    }
  });

  it('is told again where it freezes again', () => {
    const random = new RandomStream(3, 'strain');
    const readings = Array.from({ length: 6000 }, (_, row) =>
      row % 2000 > 1500 ? 0.25 : Math.round(random.normal() / 0.01) * 0.01,
    );
    assert.equal(stuckAt(readings).length, 3);
  });

  it('does not tell the resolution of a fine channel by its first readings', () => {
    const random = new RandomStream(4, 'strain');
    for (let channel = 0; channel < 20; channel++) {
      const health = newHealth();
      for (let row = 0; row < 40; row++) {
        nextReading(health, random.normal());
        assert.ok(!resolved(health), `row ${row}`);
      }
    }
  });
});
