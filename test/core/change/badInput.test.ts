// Logs that are sick themselves: no exception, no flood, no silence.
import assert from 'node:assert/strict';
import type { StrainEvent } from '../../../src/core/change/events.ts';
import { along, quietPlate, watch } from '../../support/quietPlate.ts';
import type { Watched } from '../../support/quietPlate.ts';

const mechanical = ({ events }: Watched): readonly StrainEvent[] => events.filter((e) => e.nature === 'mechanical');

function allNumbersSound({ events }: Watched): void {
  for (const event of events) {
    assert.ok(!/NaN|Infinity|undefined/.test(event.message), event.message);
    for (const { text } of event.evidence) assert.ok(!/NaN|Infinity|undefined/.test(text), text);
  }
}

describe('detection on bad input', () => {
  it('tells once that all channels of a cell are missing from the start', () => {
    const seen = watch(quietPlate({ reading: (value, cell) => (cell === 4 ? NaN : value) }));
    assert.deepEqual(
      seen.events.map((e) => [e.kind, e.row, e.channels.length]),
      [['dropout', 0, 3]],
    );
    allNumbersSound(seen);
  });

  it('tells a gap in one channel with its end, and no break at its rims', () => {
    const seen = watch(
      quietPlate({
        reading: (value, cell, fibre, row) => (cell === 4 && fibre === 0 && row > 600 && row < 700 ? NaN : value),
      }),
    );
    assert.deepEqual(
      seen.events.map((e) => [e.kind, e.row, e.endTimeS]),
      [['dropout', 601, 700]],
    );
  });

  it('tells a channel that never changes, and one that freezes', () => {
    const seen = watch(
      quietPlate({
        reading: (value, cell, fibre, row) =>
          (cell === 4 && fibre === 0) || (cell === 2 && fibre === 1 && row >= 600 && row < 700) ? 7 : value,
      }),
    );
    assert.deepEqual(
      seen.events.map((e) => [e.kind, e.row]),
      [
        ['stuck', 0],
        ['stuck', 600],
      ],
    );
    allNumbersSound(seen);
  });

  it('does not divide by the noise of noise-free and coarsely rounded data', () => {
    allNumbersSound(watch(quietPlate({ noise: 0 })));
    const coarse = watch(quietPlate({ samples: 4000, reading: (value) => Math.round(value / 4) * 4 }));
    assert.deepEqual(mechanical(coarse), []);
  });

  it('finds a break in coarsely rounded data', () => {
    const seen = watch(
      quietPlate({
        reading: (value, cell, fibre, row) =>
          Math.round((value + (cell === 4 && row >= 700 ? along([24, 10, 3], [0, 60, 120][fibre]!) : 0)) / 2) * 2,
      }),
    );
    assert.equal(mechanical(seen).length, 1);
  });

  it('outlasts a sampling rate that changes tenfold', () => {
    const timeS = (row: number): number => (row < 600 ? row : 600 + (row - 600) / 10);
    assert.deepEqual(mechanical(watch(quietPlate({ samples: 3000, timeS }))), []);
  });

  it('outlasts a clock that leaps and one that jumps back', () => {
    const timeS = (row: number): number => row + (row >= 500 ? 7200 : 0) - (row >= 900 ? 5000 : 0);
    assert.deepEqual(mechanical(watch(quietPlate({ samples: 1500, timeS }))), []);
  });

  it('folds ten thousand spikes and counts them', () => {
    const seen = watch(
      quietPlate({
        samples: 30_000,
        columns: 1,
        rows: 1,
        reading: (value, _cell, fibre, row) => (fibre === 1 && row % 3 === 0 && row > 200 ? value + 400 : value),
      }),
    );
    const told = seen.events.length;
    assert.ok(told >= 1 && told <= 3 * 500 + 50, `${told} events in 500 minutes`);
    assert.deepEqual(mechanical(seen), []);
    assert.ok(seen.events.some((e) => e.folded > 0));
  });

  it('starts in the middle of an event without a false alarm, and sees the next break', () => {
    const seen = watch(
      quietPlate({
        reading: (value, cell, fibre, row) =>
          value +
          (cell === 4 ? 40 * Math.exp(-row / 20) : 0) +
          (cell === 2 && row >= 800 ? along([12, 5, 2], [0, 60, 120][fibre]!) : 0),
      }),
    );
    assert.ok(
      seen.events.some((e) => e.nature === 'mechanical' && e.cells[0]!.cell === 2 && Math.abs(e.row - 800) <= 1),
    );
  });

  it('tells an event inside the datum window', () => {
    const seen = watch(
      quietPlate({
        header: { datum: { fromS: 0, toS: 300 } },
        reading: (value, cell, fibre, row) =>
          value + (cell === 4 && row >= 200 ? along([30, 12, 4], [0, 60, 120][fibre]!) : 0),
      }),
    );
    assert.equal(mechanical(seen).length, 1);
    assert.equal(seen.events[0]!.row, 200);
  });

  it('learns the noise by itself where the datum window is too short to tell it', () => {
    for (const seed of [1, 2, 3]) {
      const header = { datum: { fromS: 0, toS: 3 } };
      assert.deepEqual(watch(quietPlate({ header, seed, samples: 3000 })).events, []);
      const broken = quietPlate({
        header,
        seed,
        reading: (value, cell, fibre, row) =>
          value + (cell === 4 && row >= 600 ? along([12, 5, 2], [0, 60, 120][fibre]!) : 0),
      });
      assert.deepEqual(
        mechanical(watch(broken)).map(({ row, cells }) => [row, cells[0]!.cell]),
        [[600, 4]],
      );
    }
  });
});
