import assert from 'node:assert/strict';
import fc from 'fast-check';
import { alignByLayer, alignByTime } from '../../../../src/core/display/plot/alignment.ts';

const layers = (times: number[]) => times.map((timeS, layer) => ({ layer, timeS }));

describe('alignment of two logs', () => {
  it('by time makes them start together', () => {
    const map = alignByTime(100, 30);
    assert.equal(map.toFirst(30), 100);
    assert.equal(map.toSecond(107), 37);
  });

  it('by layer puts each layer on its namesake, linear in between, unstretched beyond', () => {
    const map = alignByLayer(layers([0, 100, 200]), layers([50, 70, 150]))!;
    assert.equal(map.toFirst(50), 0);
    assert.equal(map.toFirst(60), 50);
    assert.equal(map.toFirst(110), 150);
    assert.equal(map.toFirst(160), 210);
    assert.equal(map.toSecond(-10), 40);
  });

  it('goes there and back', () => {
    const rising = fc
      .array(fc.integer({ min: 1, max: 50 }), { minLength: 2, maxLength: 20 })
      .map((steps) => steps.map((_, i) => steps.slice(0, i + 1).reduce((a, b) => a + b, 0)));
    fc.assert(
      fc.property(rising, rising, fc.double({ min: -100, max: 2000, noNaN: true }), (a, b, at) => {
        const map = alignByLayer(layers(a), layers(b));
        if (map) assert.ok(Math.abs(map.toSecond(map.toFirst(at)) - at) < 1e-6);
      }),
    );
  });

  it('by layer is impossible with fewer than two shared layers', () => {
    assert.equal(alignByLayer([{ layer: 1, timeS: 0 }], [{ layer: 1, timeS: 5 }]), undefined);
  });
});
