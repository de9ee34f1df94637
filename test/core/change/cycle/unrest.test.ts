// What a change leaves behind at its place in the layer.
import assert from 'node:assert/strict';
import { newCycle } from '../../../../src/core/change/cycle/cycle.ts';
import { markRestless, unrestAt } from '../../../../src/core/change/cycle/unrest.ts';

describe('the place where a change was told', () => {
  /** What is asked of a change there and at a quarter of a layer from there, so many layers later; no test has looked meanwhile. */
  function asked(later: number): { here: number; elsewhere: number } {
    const cycle = newCycle(1, 4, Float64Array.of(1, 1, 1, 1));
    Object.assign(cycle, { usualSamples: 32, layers: 20 });
    cycle.visits.fill(20);
    markRestless(cycle, 10);
    cycle.layers += later;
    return { here: unrestAt(cycle, 10, 0), elsewhere: unrestAt(cycle, 18, 0) };
  }

  it('asks for three times the size in the next layers: what recurs is the cycle', () => {
    for (const later of [0, 1, 2, 3]) assert.ok(Math.sqrt(asked(later).here) > 3, `${later} layers later`);
  });

  it('is as open as any other soon after, whether or not a test has looked there', () => {
    assert.ok(Math.sqrt(asked(7).here) < 1.5);
    assert.equal(asked(12).here, 1);
  });

  it('asks nothing of the rest of the layer', () => {
    assert.equal(asked(0).elsewhere, 1);
  });
});
