// Blows of one sample, felt by all fibres of a cell or by several cells, against what single samples do by themselves. Truth is
// what the test put in.
import assert from 'node:assert/strict';
import { RandomStream } from '../../../src/cli/simulation/random.ts';
import { along, quietPlate, watch } from '../../support/quietPlate.ts';
import type { PlateSketch } from '../../support/quietPlate.ts';

type Reading = NonNullable<PlateSketch['reading']>;

const struckAt = 2500;
const directionsDeg = [0, 60, 120];

/** Adds a tensor (microstrain) to some cells in one row. */
function blow(
  tensor: readonly [number, number, number],
  cells: readonly number[],
  noise: Reading = (value) => value,
): Reading {
  return (value, cell, fibre, row) =>
    noise(value, cell, fibre, row) +
    (row === struckAt && cells.includes(cell) ? along(tensor, directionsDeg[fibre]!) : 0);
}

/** Mechanical events, by kind, row and cells. */
function told(sketch: PlateSketch): { kind: string; row: number; sure: boolean; cells: number[] }[] {
  return watch(quietPlate({ samples: 2600, ...sketch }))
    .events.filter(({ nature }) => nature === 'mechanical')
    .map(({ kind, row, sure, cells }) => ({ kind, row, sure, cells: cells.map(({ cell }) => cell).sort() }));
}

describe('a blow of one sample', () => {
  it('that one cell felt in all its fibres is a strike, and not sure where the blade is not known to move', () => {
    for (let seed = 1; seed <= 5; seed++) {
      const events = told({ seed, reading: blow([24, 18, -10], [4]) });
      assert.deepEqual(events, [{ kind: 'strike', row: struckAt, sure: false, cells: [4] }]);
    }
  });

  it('of eight noises that several cells felt is one strike', () => {
    for (let seed = 1; seed <= 5; seed++) {
      const [event, ...others] = told({ seed, reading: blow([8, 7, -4], [3, 4, 5]) });
      assert.deepEqual([event?.kind, event?.row, event?.sure, others], ['strike', struckAt, true, []]);
      assert.ok(event!.cells.length > 1 && event!.cells.every((cell) => [3, 4, 5].includes(cell)));
    }
  });

  it('is found in noise that wanders from sample to sample', () => {
    const random = new RandomStream(11, 'wandering');
    const now = new Map<number, number>();
    const noise: Reading = (_value, cell, fibre) => {
      const key = 10 * cell + fibre;
      const next = 0.9 * (now.get(key) ?? 0) + Math.sqrt(1 - 0.81) * random.normal();
      now.set(key, next);
      return next;
    };
    // In its first rows nothing is known of how it wanders.
    const events = told({ reading: blow([8, 6, -4], [4], noise) }).filter(({ row }) => row > 1000);
    assert.deepEqual(events, [{ kind: 'strike', row: struckAt, sure: false, cells: [4] }]);
  });

  it('is a spike where one channel did it', () => {
    const reading: Reading = (value, cell, fibre, row) =>
      row === struckAt && cell === 4 && fibre === 1 ? value + 30 : value;
    const { events } = watch(quietPlate({ samples: 2600, reading }));
    assert.deepEqual(
      events.map(({ kind, row, channels }) => [kind, row, channels]),
      [['spike', struckAt, [13]]],
    );
  });

  it('is no step of the layer that came a row early', () => {
    const layerRows = 40;
    const layer = (row: number): number => Math.floor(row / layerRows);
    const reading: Reading = (value, _cell, fibre, row) => {
      const within = row % layerRows;
      const on = within >= (layer(row) % 20 === 19 ? 9 : 10) && within < 30;
      return on ? value + along([30, 20, -12], directionsDeg[fibre]!) : value;
    };
    const { findings } = watch(quietPlate({ samples: 3500, layer, reading }));
    assert.deepEqual(
      findings.filter((f) => f.what === 'blow' && f.alone),
      [],
    );
  });
});

describe('single wild samples', () => {
  it('of noise with heavy tails are no blows, once these have shown', () => {
    for (const degrees of [3, 5]) {
      const random = new RandomStream(degrees, 'tails');
      const strikes = told({ samples: 20_000, reading: () => random.student(degrees) }).filter(
        ({ kind }) => kind === 'strike',
      );
      assert.deepEqual(strikes, [], `${degrees} degrees`);
    }
  });

  it('of noise that all channels of a plate share are no blows', () => {
    const random = new RandomStream(9, 'shared');
    let [last, common] = [-1, 0];
    const reading: Reading = (value, _cell, _fibre, row) => {
      if (row !== last) common = random.normal();
      last = row;
      return Math.sqrt(0.3) * value + Math.sqrt(0.7) * common;
    };
    const strikes = told({ columns: 10, rows: 6, samples: 20_000, reading }).filter(({ kind }) => kind === 'strike');
    assert.deepEqual(strikes, []);
  });
});
