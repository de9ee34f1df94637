// Spikes that are the tail of a noise are told once and counted; others are told one by one. Truth is what the test put in.
import assert from 'node:assert/strict';
import { RandomStream } from '../../../../src/cli/simulation/random.ts';
import { quietPlate, watch } from '../../../support/quietPlate.ts';
import type { Watched } from '../../../support/quietPlate.ts';

const spikesTold = ({ events }: Watched): Watched['events'] => events.filter(({ kind }) => kind === 'spike');
const spikesSeen = ({ findings }: Watched): number => findings.filter(({ what }) => what === 'spike').length;
/** Told of readings, not of changes, or counted in one that is. */
const counted = (seen: Watched): number =>
  spikesTold(seen).reduce((sum, { folded, cells }) => sum + (cells.length > 0 ? 0 : 1) + folded, 0);

describe('spikes of a channel', () => {
  it('that are the tail of a noise are told a few times, the others counted, and one far beyond it is told', () => {
    const random = new RandomStream(4, 'tails');
    const reading = (_value: number, cell: number, fibre: number, row: number): number =>
      row === 30_000 && cell === 4 && fibre === 1 ? 3000 : random.student(3);
    const seen = watch(quietPlate({ samples: 31_000, reading }));
    const told = spikesTold(seen);
    assert.ok(spikesSeen(seen) > 60, `${spikesSeen(seen)} spikes`);
    assert.ok(told.length < spikesSeen(seen) / 3, `${told.length} told of ${spikesSeen(seen)}`);
    assert.equal(counted(seen), spikesSeen(seen));
    assert.equal(told.filter(({ row }) => row === 30_000).length, 1);
  });

  it('are told one by one where they are few', () => {
    const rows = [500, 1500];
    const reading = (value: number, cell: number, fibre: number, row: number): number =>
      (rows.includes(row) && cell === 4 && fibre === 1) || (row === 2000 && cell === 0 && fibre === 2)
        ? value + 20 + row / 100
        : value;
    const told = spikesTold(watch(quietPlate({ samples: 2500, reading })));
    assert.deepEqual(
      told.map(({ row, folded }) => [row, folded]),
      [...rows, 2000].map((row) => [row, 0]),
    );
  });

  it('give the same events whatever the chunks', () => {
    const random = new RandomStream(4, 'tails');
    const plate = quietPlate({ samples: 8000, reading: () => random.student(3) });
    assert.deepEqual(watch(plate, [1, 7, 300, 5, 33], [1, 2, 3, 40]).events, watch(plate).events);
  });
});
