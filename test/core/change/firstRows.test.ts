// The first rows of a log without layers, whose noise is not white: alarms there are to be as rare as later. Truth is the
// absence of any change; in white noise the budget has one alarm in 200 hours, here some 3 hours are looked at.
import assert from 'node:assert/strict';
import { RandomStream } from '../../../src/cli/simulation/random.ts';
import { along, quietPlate, watch } from '../../support/quietPlate.ts';

const header = { roles: { time: 0, layer: -1, phase: -1 } };

/** First-order noise of this correlation, as strong as white noise of 1 would be. */
function firstOrder(correlation: number, seed: number): (cell: number, fibre: number) => number {
  const random = new RandomStream(seed, 'first order');
  const now = new Map<number, number>();
  return (cell, fibre) => {
    const key = 10 * cell + fibre;
    const before = now.get(key) ?? random.normal();
    const next = correlation * before + Math.sqrt(1 - correlation ** 2) * random.normal();
    now.set(key, next);
    return next;
  };
}

describe('the first rows of a log without layers', () => {
  for (const correlation of [0, 0.5, 0.8]) {
    it(`give no alarms in noise whose neighbours go together by ${correlation}`, () => {
      let told = 0;
      for (let seed = 1; seed <= 40; seed++) {
        const noise = firstOrder(correlation, seed);
        const { events } = watch(
          quietPlate({ samples: 300, seed, header, reading: (_, cell, fibre) => noise(cell, fibre) }),
        );
        told += events.filter(({ nature }) => nature === 'mechanical').length;
      }
      assert.ok(told <= 1, `${told} alarms`);
    });

    it(`still tell a break in it, ${correlation}`, () => {
      for (let seed = 1; seed <= 10; seed++) {
        const noise = firstOrder(correlation, seed);
        const broken = (cell: number, fibre: number, row: number): number =>
          row >= 200 && cell === 4 ? along([14, 6, 3], [0, 60, 120][fibre]!) : 0;
        const reading = (_: number, cell: number, fibre: number, row: number): number =>
          noise(cell, fibre) + broken(cell, fibre, row);
        const { events } = watch(quietPlate({ samples: 300, seed, header, reading }));
        const rows = events.filter(({ nature }) => nature === 'mechanical').map(({ row }) => row);
        assert.ok(rows.length === 1 && Math.abs(rows[0]! - 200) <= 2, `seed ${seed}: ${rows.join()}`);
      }
    });
  }
});
