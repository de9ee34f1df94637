// Channels that spike all the time: told as sick, every spike counted, and what happens beside them still found. Truth is
// what the test put in.
import assert from 'node:assert/strict';
import { RandomStream } from '../../../../src/cli/simulation/random.ts';
import { along, quietPlate, watch } from '../../../support/quietPlate.ts';
import type { PlateSketch, Watched } from '../../../support/quietPlate.ts';

const directionsDeg = [0, 60, 120];

type Reading = NonNullable<PlateSketch['reading']>;

/** The second fibre of the cell in the middle is up by 300 noises in every `every`-th row from `from` on. */
function spiking(every: number, from: number): Reading {
  return (value, cell, fibre, row) =>
    cell === 4 && fibre === 1 && row >= from && row % every === 0 ? value + 300 : value;
}

/** Spikes that are told or counted. */
function spikesOf({ events }: Watched): number {
  let count = 0;
  for (const { kind, folded, evidence } of events) {
    if (kind === 'spike') count += 1 + folded;
    if (kind === 'wander') count += folded + (evidence.find(({ name }) => name === 'samples')?.value ?? 0);
  }
  return count;
}

function mechanicalOf({ events }: Watched): unknown[] {
  return events.filter(({ nature }) => nature === 'mechanical').map(({ row, cells }) => [row, cells[0]!.cell]);
}

function wandersOf({ events }: Watched): string[] {
  return events.map(({ message }) => message).filter((message) => /wander.* spikes/.test(message));
}

describe('a channel that spikes all the time', () => {
  for (const every of [2, 3, 4, 5, 7, 10, 20]) {
    it(`is told once, with its spikes counted, where every ${every}th reading is one`, () => {
      for (const from of [100, 600]) {
        const samples = 2400;
        const seen = watch(quietPlate({ samples, reading: spiking(every, from) }));
        const wanders = wandersOf(seen);
        assert.equal(wanders.length, 1, wanders.join('\n'));
        assert.match(wanders[0]!, /in B2_60: \d+ spikes/);
        assert.deepEqual(mechanicalOf(seen), []);
        assert.ok(seen.events.length < 25, `${seen.events.length} events`);
        const put = Math.floor((samples - from - 1) / every) + 1;
        // Until it has shown how it behaves at rest, its first spikes may be taken for its noise.
        assert.ok(Math.abs(spikesOf(seen) - put) <= 5 + 100 / every, `${spikesOf(seen)} of ${put}`);
      }
    });
  }

  it('is told with ten thousand spikes in all channels, each counted, and a break is found among them', () => {
    const random = new RandomStream(3, 'spikes');
    let put = 0;
    const seen = watch(
      quietPlate({
        samples: 3000,
        reading: (value, cell, fibre, row) => {
          const broken = row >= 2000 && cell === 4 ? along([20, 8, 4], directionsDeg[fibre]!) : 0;
          const u = random.uniform();
          if (u > 0.12) return value + broken;
          put++;
          return value + broken + (u > 0.06 ? 300 : -300);
        },
      }),
    );
    assert.ok(put > 9000);
    // Spikes that follow each other count as one.
    assert.ok(spikesOf(seen) > 0.8 * put && spikesOf(seen) < 1.02 * put, `${spikesOf(seen)} of ${put}`);
    assert.equal(wandersOf(seen).length, 27);
    assert.ok(seen.events.length < 400, `${seen.events.length} events`);
    const about = seen.events.filter(({ row, cells }) => Math.abs(row - 2000) <= 3 && cells[0]?.cell === 4);
    assert.equal(about.length, 1);
  });

  it('leaves the others of its cell to see a break', () => {
    const spikes = spiking(3, 600);
    const seen = watch(
      quietPlate({
        samples: 2000,
        reading: (value, cell, fibre, row) =>
          spikes(value, cell, fibre, row) + (cell === 4 && row >= 1500 ? along([10, 4, 2], directionsDeg[fibre]!) : 0),
      }),
    );
    assert.deepEqual(mechanicalOf(seen), [[1500, 4]]);
  });

  it('gives the same events and findings whatever the chunks', () => {
    const plate = quietPlate({ samples: 1500, reading: spiking(3, 300) });
    const told = ({ events, findings }: Watched): unknown => [events, findings.filter(({ cell }) => cell === 4)];
    const whole = told(watch(plate));
    assert.deepEqual(told(watch(plate, [1, 7, 300, 5, 33], [1, 2, 3, 40])), whole);
    assert.deepEqual(told(watch(plate, [1])), whole);
  });

  it('is well again some time after the last spike, and single spikes are told again', () => {
    const chatter = spiking(5, 300);
    const seen = watch(
      quietPlate({
        samples: 5000,
        reading: (value, cell, fibre, row) =>
          row < 600 || row === 3000 || row === 3500 ? chatter(value, cell, fibre, row) : value,
      }),
    );
    assert.equal(wandersOf(seen).length, 1);
    assert.deepEqual(
      seen.events.filter(({ kind, row }) => kind === 'spike' && row > 600).map(({ row }) => row),
      [3500],
    );
  });
});

describe('a channel is not told to spike all the time', () => {
  it('for noise with heavy tails', () => {
    const random = new RandomStream(5, 'tails');
    const student = (): number => {
      const square = random.normal() ** 2 + random.normal() ** 2 + random.normal() ** 2;
      return random.normal() / Math.sqrt(square / 3);
    };
    assert.deepEqual(wandersOf(watch(quietPlate({ samples: 10_000, reading: student }))), []);
  });

  it('for noise that grows fivefold while the laser is on', () => {
    const seen = watch(
      quietPlate({ samples: 3000, reading: (value, _cell, _fibre, row) => (row % 400 < 200 ? value : 5 * value) }),
    );
    assert.deepEqual(wandersOf(seen), []);
  });

  it('for what all fibres of its cell do at the same time', () => {
    const seen = watch(
      quietPlate({
        samples: 2000,
        reading: (value, cell, _fibre, row) => (cell === 4 && row % 9 === 0 ? value + 300 : value),
      }),
    );
    assert.deepEqual(wandersOf(seen), []);
  });

  it('for what the blade does in every layer, felt by one fibre far more than by the others', () => {
    for (const layer of [undefined, (row: number) => Math.floor(row / 8)]) {
      const random = new RandomStream(8, 'blade');
      let size = 1;
      const seen = watch(
        quietPlate({
          samples: 3000,
          ...(layer ? { layer } : {}),
          timeS: (row) => 5 * row,
          reading: (value, cell, fibre, row) => {
            if (cell === 0 && fibre === 0) size = 1 + 0.2 * random.normal();
            return row % 8 < 2 ? value + size * along([200, -20, 10], directionsDeg[fibre]!) : value;
          },
        }),
      );
      assert.deepEqual(wandersOf(seen), []);
    }
  });

  it('for coarse readings that flicker between two steps', () => {
    const seen = watch(
      quietPlate({ samples: 4000, noise: 0.3, reading: (value) => 8 * Math.round((value + 3.4) / 8) }),
    );
    assert.deepEqual(wandersOf(seen), []);
  });
});
