// A blow of the blade goes back: what is told of it is a strike of its own size, and nothing that lasts. Truth is what the test
// put in.
import assert from 'node:assert/strict';
import type { StrainEvent } from '../../../../src/core/change/events.ts';
import { along, quietPlate, watch } from '../../../support/quietPlate.ts';
import type { PlateSketch } from '../../../support/quietPlate.ts';

const directions = [0, 60, 120];
const begun = 700;

/** Adds a tensor change (microstrain) to the cells of the middle row, times what `shape` says so many rows after the blow began. */
function blow(shape: (since: number) => number, size = 20): NonNullable<PlateSketch['reading']> {
  return (value, cell, fibre, row) =>
    cell >= 3 && cell <= 5 && row >= begun
      ? value + shape(row - begun) * along([size, 0.6 * size, -0.3 * size], directions[fibre]!)
      : value;
}

const halfSine =
  (rows: number) =>
  (since: number): number =>
    since < rows ? Math.sin((Math.PI * (since + 0.5)) / rows) : 0;

function told(reading: NonNullable<PlateSketch['reading']>, seed: number): readonly StrainEvent[] {
  return watch(quietPlate({ reading, seed })).events;
}

/** Largest strain told, microstrain. */
const sizeOf = ({ evidence }: StrainEvent): number => evidence.find(({ name }) => name === 'size')?.value ?? NaN;

describe('a blow that takes its time', () => {
  for (const rows of [4, 8, 12, 20, 30]) {
    it(`of ${rows} rows is told as a strike of about its size, and nothing of it lasts`, () => {
      for (let seed = 1; seed <= 6; seed++) {
        const mechanical = told(blow(halfSine(rows)), seed).filter(({ nature }) => nature === 'mechanical');
        assert.deepEqual(
          mechanical.filter(({ kind }) => kind !== 'strike').map(({ message }) => message),
          [],
        );
        const size = Math.max(...mechanical.map(sizeOf));
        assert.ok(size > 10 && size < 35, `${size} of 23`);
      }
    });
  }

  it('leaves a break that came shortly before it what it was', () => {
    const struck = blow(halfSine(6));
    const reading: typeof struck = (value, cell, fibre, row) =>
      struck(cell === 4 && row >= begun - 30 ? value + along([-5, 4, 4], directions[fibre]!) : value, cell, fibre, row);
    for (let seed = 1; seed <= 6; seed++) {
      const [first, ...rest] = told(reading, seed);
      assert.ok(first!.row < begun - 25 && first!.kind !== 'strike', first!.message);
      assert.deepEqual([...new Set(rest.map(({ kind }) => kind))], ['strike']);
    }
  });

  it('is no break because several cells felt it that were hardly sure', () => {
    for (let seed = 1; seed <= 10; seed++) {
      const kinds = told(blow(halfSine(8), 4.5), seed).map(({ kind }) => kind);
      assert.deepEqual(
        kinds.filter((kind) => kind !== 'strike'),
        [],
      );
    }
  });

  it('makes hardly ever a lasting witness of a cell that only suspects it', () => {
    const looks = { over: 0, lasting: 0 };
    for (let seed = 1; seed <= 80; seed++) {
      const { findings } = watch(quietPlate({ reading: blow(halfSine(4), 4.5), seed }));
      for (const f of findings) {
        if (f.what !== 'change' || f.stage !== 'suspected' || Math.abs(f.row - begun) > 1) continue;
        if (f.knownRow < begun + 6) continue;
        looks.over++;
        if (f.lasting) looks.lasting++;
      }
    }
    assert.ok(looks.over >= 10 && looks.lasting < looks.over / 2, JSON.stringify(looks));
  });
});
