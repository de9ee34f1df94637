// Which channel is sick, and what the rest of its cell still sees. Truth is what the test put in.
import assert from 'node:assert/strict';
import { Matrix, inverse } from 'ml-matrix';
import { RandomStream } from '../../../../src/cli/simulation/random.ts';
import { distance, impute, newScatter } from '../../../../src/core/change/noise/scatter.ts';
import { newSickChannels, noteChange } from '../../../../src/core/change/confirm/sickChannels.ts';
import { countLook, countPassage, dropRecent, newTail, restated } from '../../../../src/core/change/noise/tail.ts';
import { along, quietPlate, watch } from '../../../support/quietPlate.ts';

const at = (row: number): { row: number; line: number; timeS: number; layer: number } => {
  return { row, line: row + 9, timeS: row, layer: 1 };
};

describe('sick channels', () => {
  it('need two changes that point at the same channel', () => {
    const state = newSickChannels(3);
    assert.ok(!noteChange(state, 1, 50, at(100)));
    assert.ok(!noteChange(state, 2, -1, at(200)));
    assert.ok(noteChange(state, 1, -1, at(300)));
    assert.deepEqual(state.onset[1], at(100));
  });

  it('are not told from changes that the metal explains, nor from ones hours apart', () => {
    const state = newSickChannels(3);
    for (let row = 100; row < 1000; row += 100) assert.ok(!noteChange(state, 0, -6, at(row)));
    for (let row = 0; row < 40_000; row += 4000) assert.ok(!noteChange(state, 1, 1, at(row)));
  });

  it('leave the others to see a break, and the tensor to be told without them', () => {
    const directionsDeg = [0, 45, 90, 135];
    const random = new RandomStream(9, 'walk');
    let walk = 0;
    const seen = watch(
      quietPlate({
        samples: 2400,
        directionsDeg,
        reading: (value, cell, fibre, row) => {
          if (cell !== 4) return value;
          if (fibre === 1 && row >= 600) walk += 1.5 * random.normal() + 0.3;
          const broken = row >= 1000 ? along([25, 8, 6], directionsDeg[fibre]!) : 0;
          return value + broken + (fibre === 1 ? walk : 0);
        },
      }),
    );
    const mechanical = seen.events.filter(({ nature }) => nature === 'mechanical');
    assert.deepEqual(
      mechanical.map((e) => [e.row, e.cells[0]!.cell]),
      [[1000, 4]],
    );
    const [ex, ey, gxy] = mechanical[0]!.cells[0]!.change;
    for (const [got, put] of [
      [ex, 25],
      [ey, 8],
      [gxy, 6],
    ] as const) {
      assert.ok(Math.abs(got * 1e6 - put) < 3, `${got * 1e6} of ${put}`);
    }
    const wander = seen.events.find(({ kind }) => kind === 'wander');
    assert.ok(wander, 'no wander told');
    assert.equal(wander.row >= 600 && wander.row < 1000, true);
    assert.match(wander.message, /measured without it/);
  });
});

describe('a channel that wanders', () => {
  it('is hardly ever told as the metal of a cell with no fibre to spare: once in four at most', () => {
    const mechanical = [1, 2, 3, 4].flatMap((seed) => {
      const random = new RandomStream(seed, 'walk');
      let walk = 0;
      const { events } = watch(
        quietPlate({
          samples: 3000,
          seed,
          reading: (value, cell, fibre, row) => {
            if (cell !== 4 || fibre !== 1) return value;
            if (row >= 600) walk += 0.8 * random.normal() + 0.03;
            return value + walk;
          },
        }),
      );
      assert.ok(events.some(({ kind }) => kind === 'wander'));
      return events.filter(({ nature }) => nature === 'mechanical');
    });
    assert.ok(mechanical.length <= 1, mechanical.map(({ kind, row }) => `${kind} at ${row}`).join(', '));
  });
});

describe('components that lack', () => {
  it('are put in so that the distance is that of the others alone', () => {
    const covariance = new Matrix([
      [2, 0.6, -0.3, 0.4],
      [0.6, 1.5, 0.2, 0.1],
      [-0.3, 0.2, 1, 0.25],
      [0.4, 0.1, 0.25, 3],
    ]);
    const none = new Float64Array(16);
    const scatter = newScatter(4, Float64Array.from(covariance.to1DArray()), none);
    const value = Float64Array.of(1.2, NaN, -0.7, 2.1);
    impute(scatter, value, Uint8Array.of(1, 0, 1, 1));
    const rest = covariance.selection([0, 2, 3], [0, 2, 3]);
    const x = Matrix.columnVector([1.2, -0.7, 2.1]);
    const expected = x.transpose().mmul(inverse(rest)).mmul(x).get(0, 0);
    assert.ok(Math.abs(distance(scatter, value, 0) - expected) < 1e-9);
  });
});

describe('learned tail', () => {
  it('forgets what it saw of a break that was then confirmed', () => {
    const tail = newTail();
    for (let i = 0; i < 400; i++) countLook(tail);
    const before = restated(tail, 20);
    for (let i = 0; i < 20; i++) {
      countPassage(tail, 15);
      countLook(tail);
    }
    dropRecent(tail);
    for (let i = 0; i < 60; i++) countLook(tail);
    assert.ok(Math.abs(restated(tail, 20) - before) < 0.2);
  });
});
