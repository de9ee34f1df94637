// What breaks is told as the same thing at any sampling rate, whether it takes less than a sample or a thousand. The signals
// are made here: a tensor that falls off from a corner of the plate and grows as a straight line, in white noise.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import type { StrainEvent } from '../../../src/core/change/events.ts';
import { along, quietPlate, watch } from '../../support/quietPlate.ts';
import type { QuietPlate } from '../../support/quietPlate.ts';

type Tensor = readonly [number, number, number];

const directions = [0, 60, 120];
/** Microstrain per cell, row by row from the corner: a support lets go both ways, and is felt all over the plate. */
const released: readonly Tensor[] = [
  [40, 16, 12],
  [16, 7, 4],
  [5, 2, 1],
  [14, 6, -4],
  [8, 3, 1],
  [3, 1.5, 0.2],
  [5, 2, 0],
  [3, 1, 0],
  [1.5, 0.7, 0.2],
];
/** The blade pulls the cells of its row along its way. */
const struck: readonly Tensor[] = [
  [30, 2, 3],
  [30, 2, 3],
  [20, 1, 2],
  [3, 0, 0],
  [2, 0, 0],
  [1, 0, 0],
  ...Array.from({ length: 3 }, (): Tensor => [0, 0, 0]),
];

/** Share of the change that is there so many seconds after its onset. */
type Course = (sinceS: number) => number;

/** A plate on which the cells change by `tensors`, and when they begin to. */
function changing(
  rateHz: number,
  tensors: readonly Tensor[],
  course: Course,
  leadS: number,
  lastsS: number,
): { plate: QuietPlate; onsetS: number } {
  // Half a sample off the clock of the rows, as breaks are.
  const onsetS = Math.max(leadS, 400 / rateHz) + 0.5 / rateHz;
  const plate = quietPlate({
    samples: Math.round(rateHz * (onsetS + lastsS + Math.max(20, 80 / rateHz))),
    timeS: (row) => row / rateHz,
    reading: (noise, cell, fibre, row) =>
      noise + course(row / rateHz - onsetS) * along(tensors[cell]!, directions[fibre]!),
  });
  return { plate, onsetS };
}

/** Its events, with onsets counted from that of the change. */
function told(...course: Parameters<typeof changing>): StrainEvent[] {
  const { plate, onsetS } = changing(...course);
  return watch(plate, [20_000]).events.map((event) => ({ ...event, timeS: event.timeS - onsetS }));
}

function sizeAtCorner({ cells }: StrainEvent): Tensor {
  const [ex, ey, gxy] = cells.find(({ cell }) => cell === 0)!.change.map((strain) => strain * 1e6);
  return [ex!, ey!, gxy!];
}

describe('a break', () => {
  for (const rateHz of [0.1, 0.5, 1, 2, 5, 10, 20, 100, 1000]) {
    for (const overS of rateHz < 1 ? [0, 3] : rateHz < 100 ? [0, 0.3, 1, 3] : [0.3, 1, 3]) {
      it(`that takes ${overS} s is told once, by its size, kind and onset at ${rateHz} Hz`, () => {
        const course: Course = (sinceS) => (sinceS < 0 ? 0 : Math.min(1, overS > 0 ? sinceS / overS : 1));
        const events = told(rateHz, released, course, 20, overS);
        assert.deepEqual(
          events.map(({ kind }) => kind),
          ['release'],
        );
        const [event] = events;
        sizeAtCorner(event!).forEach((strain, k) => {
          assert.ok(Math.abs(strain - released[0]![k]!) < 1.5, `${strain} for ${released[0]![k]} um/m`);
        });
        const late = event!.timeS;
        assert.ok(late > -3 / rateHz && late < Math.max(3 / rateHz, overS / 2), `onset told ${late} s late`);
        assert.equal(event!.cells[0]!.cell, 0);
      });
    }
  }
});

describe('a break of many rows', () => {
  it('is the same for any chunks, saved and restored anywhere', () => {
    const { plate } = changing(20, released, (sinceS) => Math.max(0, Math.min(1, sinceS / 2)), 20, 2);
    const whole = watch(plate, [20_000]);
    assert.ok(whole.findings.some((f) => f.what === 'change' && f.partRow > f.row));
    const sizes = fc.array(fc.integer({ min: 1, max: 200 }), { minLength: 1, maxLength: 6 });
    fc.assert(
      fc.property(sizes, fc.array(fc.nat(6), { maxLength: 3 }), (chunks, saveAt) => {
        assert.deepEqual(watch(plate, chunks, saveAt).events, whole.events);
      }),
      { numRuns: 20, seed: 3 },
    );
  });
});

describe('a blow', () => {
  for (const rateHz of [5, 20, 100, 500]) {
    for (const overS of [0.3, 1, 3]) {
      it(`of ${overS} s, with the metal swinging back after it, is one strike at ${rateHz} Hz`, () => {
        const course: Course = (sinceS) => {
          if (sinceS < 0 || sinceS > 2 * overS) return 0;
          return Math.sin((Math.PI * sinceS) / overS) * (sinceS < overS ? 1 : 0.15);
        };
        const events = told(rateHz, struck, course, 20, 2 * overS);
        assert.deepEqual(
          events.map(({ kind }) => kind),
          ['strike'],
        );
        assert.ok(events[0]!.endTimeS > 0);
      });
    }
  }
});
describe('a lift', () => {
  for (const rateHz of [1, 5, 20]) {
    it(`of half a minute is growth, and one, at ${rateHz} Hz`, () => {
      const course: Course = (sinceS) => Math.max(0, Math.min(1, sinceS / 30));
      const events = told(rateHz, released, course, 600, 30);
      const [event] = events;
      assert.equal(event!.kind, 'creep-off');
      const size = sizeAtCorner(event!)[0];
      assert.ok(Math.abs(size - released[0]![0]) < 2, `${size} um/m`);
      // What a far cell adds faintly may be told apart.
      const large = events.filter(({ cells }) => cells.some(({ change: [ex] }) => ex * 1e6 > 0.1 * size));
      assert.deepEqual(large, [event]);
    });
  }
});
