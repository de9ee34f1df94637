// Of what one channel did by itself: how large it is told to be, and that the metal is told of nothing.
import assert from 'node:assert/strict';
import { quietPlate, watch } from '../../../support/quietPlate.ts';

const jumpRow = 600;

describe('a jump of one channel', () => {
  for (const directionsDeg of [
    [0, 60, 120],
    [0, 45, 90, 135],
  ]) {
    for (const jump of [55, -40]) {
      it(`of ${jump} microstrain is told as that, of ${directionsDeg.length} directions`, () => {
        const plate = quietPlate({
          directionsDeg,
          reading: (noise, cell, fibre, row) => noise + (cell === 4 && fibre === 1 && row >= jumpRow ? jump : 0),
        });
        const [event, ...others] = watch(plate).events;
        assert.equal(others.length, 0);
        assert.equal(event!.kind, 'jump');
        const name = `B2_${directionsDeg[1]}`;
        const told = new RegExp(`^Sensor jump in ${name}.*: ([−\\d]+) µm/m in this channel, not in the metal`);
        // One microstrain of noise over eight samples after and many before: four standard errors are 1.5.
        assert.ok(Math.abs(Number(told.exec(event!.message)?.[1]?.replace('−', '-')) - jump) <= 2, event!.message);
        const size = event!.evidence.find((one) => one.name === 'size')!;
        assert.ok(Math.abs(size.value - jump) < 2, size.text);
        assert.ok(size.text.startsWith(`Change of ${name} itself: ${jump < 0 ? '−' : ''}`), size.text);
        assert.ok(event!.evidence.every(({ name }) => name !== 'turn' && name !== 'origin-spread'));
        assert.deepEqual(
          event!.cells.map(({ cell, plane, change, turnDeg }) => [cell, plane, ...change, turnDeg]),
          [[4, 0, NaN, NaN, NaN, NaN]],
        );
      });
    }
  }

  it('is held by its own size against the smallest change worth hearing of', () => {
    const toldAbove = (smallest: number): number =>
      watch(
        quietPlate({
          directionsDeg: [0, 45, 90, 135],
          header: { detection: { falseAlarmHours: 200, smallestJump: smallest * 1e-6, mute: [] } },
          reading: (noise, cell, fibre, row) => noise + (cell === 4 && fibre === 1 && row >= jumpRow ? 55 : 0),
        }),
      ).events.length;
    // The tensor's share of it is 41.
    assert.deepEqual([toldAbove(48), toldAbove(62)], [1, 0]);
  });
});
