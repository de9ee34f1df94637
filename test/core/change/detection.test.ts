// What is told of a plate with white noise and one thing wrong with it. Truth is what the test put in.
import assert from 'node:assert/strict';
import { along, quietPlate, watch } from '../../support/quietPlate.ts';
import type { PlateSketch } from '../../support/quietPlate.ts';

const directions = [0, 60, 120];

/** Adds a tensor change (microstrain) to some cells from a row on, until another. */
function breaking(
  changes: Readonly<Record<number, readonly [number, number, number]>>,
  from: number,
  until = Infinity,
): NonNullable<PlateSketch['reading']> {
  return (value, cell, fibre, row) => {
    const change = changes[cell];
    return change && row >= from && row < until ? value + along(change, directions[fibre]!) : value;
  };
}

describe('detection on a quiet plate', () => {
  it('tells nothing where nothing happens', () => {
    assert.deepEqual(watch(quietPlate({ samples: 6000 })).events, []);
  });

  it('tells a lasting break of five noises in one cell, when, where and how large', () => {
    const { events } = watch(quietPlate({ reading: breaking({ 4: [5, 2, 1] }, 700) }));
    assert.equal(events.length, 1);
    const [event] = events;
    assert.equal(event!.nature, 'mechanical');
    assert.equal(event!.cells[0]!.cell, 4);
    assert.ok(Math.abs(event!.row - 700) <= 1, `onset ${event!.row}`);
    assert.equal(event!.line, event!.row + 40);
    assert.ok(event!.detectedRow >= 701 && event!.detectedRow <= 708, `known at ${event!.detectedRow}`);
    const [ex, ey, gxy] = event!.cells[0]!.change;
    // Standard error of a mean of 24 after a mean of 32: 0.27 for ex and ey, 0.44 for gxy; four of them.
    assert.ok(Math.abs(ex * 1e6 - 5) < 1.1 && Math.abs(ey * 1e6 - 2) < 1.1 && Math.abs(gxy * 1e6 - 1) < 1.8);
    assert.ok(Math.hypot(event!.originM[0] - 0.1, event!.originM[1] - 0.1) < 0.015);
  });

  it('tells three noises over three cells that no cell tells quickly alone', () => {
    const changes = { 3: [3, 1, 0], 4: [3, 1, 0], 7: [3, 1, 0] } as const;
    const { events } = watch(quietPlate({ reading: breaking(changes, 700) }));
    assert.equal(events.length, 1);
    assert.equal(events[0]!.nature, 'mechanical');
    assert.ok(events[0]!.detectedRow < 725);
  });

  it('tells a second break ten seconds after the first', () => {
    const first = breaking({ 4: [20, 8, 4] }, 700);
    const second = breaking({ 4: [-4, 15, 9] }, 710);
    const { events } = watch(
      quietPlate({ reading: (value, cell, fibre, row) => second(first(value, cell, fibre, row), cell, fibre, row) }),
    );
    assert.deepEqual(
      events.map((e) => e.row),
      [700, 710],
    );
  });

  it('tells two breaks at once in opposite corners as two', () => {
    const { events } = watch(
      quietPlate({ columns: 5, rows: 4, reading: breaking({ 0: [15, 6, 2], 19: [4, 14, -5] }, 700) }),
    );
    assert.deepEqual(
      events.map((e) => e.cells[0]!.cell).sort((a, b) => a - b),
      [0, 19],
    );
  });

  it('tells a passing blow over a row of cells as one strike with its end', () => {
    const blow = { 3: [18, -3, 2], 4: [22, -4, 2], 5: [16, -3, 1] } as const;
    const { events } = watch(quietPlate({ reading: breaking(blow, 700, 706) }));
    assert.deepEqual(
      events.map((e) => e.kind),
      ['strike'],
    );
    assert.ok(Math.abs(events[0]!.endTimeS - 706) <= 1);
  });

  it('names a jump of one channel a sensor jump, with and without a channel to spare', () => {
    for (const directionsDeg of [directions, [0, 45, 90, 135]]) {
      const reading = (value: number, cell: number, fibre: number, row: number): number =>
        cell === 4 && fibre === 1 && row >= 700 ? value + 40 : value;
      const plate = quietPlate({ directionsDeg, reading });
      const { events } = watch(plate);
      assert.deepEqual(
        events.map((e) => [e.kind, e.channels.map((c) => plate.header.channels[c]!.name)]),
        [['jump', [`B2_${directionsDeg[1]}`]]],
      );
    }
  });

  it('names the part over the origin', () => {
    const outlineM = [
      [0.07, 0.07],
      [0.13, 0.07],
      [0.13, 0.13],
      [0.07, 0.13],
    ] as const;
    const { events } = watch(
      quietPlate({
        header: { parts: [{ name: 'bracket 1', outlineM }] },
        reading: breaking({ 4: [25, 12, 3], 1: [6, 3, 1], 3: [6, 3, 1], 5: [6, 3, 1], 7: [6, 3, 1] }, 700),
      }),
    );
    assert.equal(events[0]!.part, 'bracket 1');
    assert.match(events[0]!.message, /under bracket 1/);
  });

  it('mutes kinds and passes over changes smaller than the user cares for', () => {
    const reading = breaking({ 4: [15, 6, 3] }, 700);
    const heard = (detection: { smallestJump: number; mute: string[] }): number =>
      watch(quietPlate({ reading, header: { detection: { falseAlarmHours: 200, ...detection } } })).events.length;
    assert.equal(heard({ smallestJump: 10e-6, mute: [] }), 1);
    assert.equal(heard({ smallestJump: 30e-6, mute: [] }), 0);
    assert.equal(heard({ smallestJump: 0, mute: ['release', 'crack'] }), 0);
  });

  it('is sure of no break in the first twenty minutes of a log without layers, whose cycle it cannot know yet', () => {
    const early = (row: number, intervalS: number): string[] =>
      watch(
        quietPlate({
          samples: row + 300,
          timeS: (r) => r * intervalS,
          reading: breaking({ 4: [15, 6, 3] }, row),
        }),
      ).events.map(({ severity }) => severity);
    assert.deepEqual(early(150, 1), ['warning']);
    assert.deepEqual(early(150, 20), ['warning']);
    assert.deepEqual(early(1100, 1), ['warning']);
    assert.deepEqual(early(1300, 1), ['error']);
    assert.deepEqual(early(300, 5), ['error']);
  });
});
