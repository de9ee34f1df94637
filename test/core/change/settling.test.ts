// Which changes are parts of one break, by the physics told beside each case; no published source for the shares.
import assert from 'node:assert/strict';
import type { ChangeFinding } from '../../../src/core/change/findings.ts';
import { continues, joined } from '../../../src/core/change/plate/incident.ts';
import { newCycle, placeOf } from '../../../src/core/change/cycle/cycle.ts';
import type { CycleState } from '../../../src/core/change/cycle/cycle.ts';
import type { PlateFrame } from '../../../src/core/change/plate/plateFrame.ts';
import { peaksOf } from '../../../src/core/change/plate/pooling.ts';
import { markRestless, unrestAt } from '../../../src/core/change/cycle/unrest.ts';
import { changeFinding } from '../../support/changeFinding.ts';

function finding(row: number, delta: readonly number[], cell = 0): ChangeFinding {
  return changeFinding(row, { delta, cell });
}

describe('parts of one break', () => {
  const first = finding(100, [10e-6, -4e-6, 0]);

  it('takes a small rest of the same direction soon after for the settling of the change', () => {
    assert.ok(continues(first, finding(110, [3e-6, -1e-6, 0])));
  });

  it('takes an equal change, one the other way, a late one and one of another cell for others', () => {
    assert.ok(!continues(first, finding(110, [10e-6, -4e-6, 0])));
    assert.ok(!continues(first, finding(110, [-3e-6, 1e-6, 0])));
    assert.ok(!continues(first, finding(140, [3e-6, -1e-6, 0])));
    assert.ok(!continues(first, finding(101, [3e-6, -1e-6, 0], 1)));
  });

  it('holds a step to be as clear as it was before it settled; of a ramp the latest part tells', () => {
    const step = changeFinding(100, { sigmas: 22 });
    const rest = changeFinding(110, { sigmas: 9 });
    assert.equal(joined(step, rest).sigmas, 22);
    assert.equal(joined(rest, step).sigmas, 22);
    assert.equal(joined({ ...step, ramp: true }, { ...rest, ramp: true }).sigmas, 9);
  });

  it('lays a step to one channel or to the metal by its clearer part', () => {
    const step = changeFinding(100, { sigmas: 160, soloEvidence: -40, soloChannel: 3 });
    const rest = changeFinding(110, { sigmas: 4, soloEvidence: 7, soloChannel: 4 });
    for (const whole of [joined(step, rest), joined(rest, step)]) {
      assert.deepEqual([whole.soloEvidence, whole.soloChannel], [-40, 3]);
    }
  });

  // Cells in a row, one pitch apart. Strain falls at least with the square of the distance from a break.
  const frame: PlateFrame = {
    cells: [0, 1, 2, 3, 4, 5],
    xM: [0, 0.02, 0.04, 0.06, 0.08, 0.1],
    yM: [0, 0, 0, 0, 0, 0],
    pitchM: 0.02,
    channels: [],
  };

  it('gives a faint far change to a gross break, and tells a large one there apart', () => {
    assert.deepEqual(peaksOf(frame, [0, 4], [40, 30], [100e-6, 5e-6]), [0, 0]);
    assert.deepEqual(peaksOf(frame, [0, 4], [40, 30], [100e-6, 45e-6]), [0, 0]);
    assert.deepEqual(peaksOf(frame, [0, 4], [40, 30], [100e-6, 60e-6]), [0, 1]);
  });
});

describe('restless places', () => {
  /** Layers of `samples` rows, one a second. */
  function cycleOf(samples: number, layers: number): CycleState {
    const cycle = newCycle(1, 1, Float64Array.of(1));
    for (let i = 0; i < samples * layers; i++) {
      const place = placeOf(cycle, i, Math.floor(i / samples), -1, 1, i > 0 ? 1 : NaN);
      cycle.visits[place]!++;
    }
    return cycle;
  }

  it('leaves most of a layer alone, however few its samples', () => {
    const cycle = cycleOf(16, 200);
    markRestless(cycle, 4);
    assert.ok(unrestAt(cycle, 4, 0) > 5);
    assert.ok(unrestAt(cycle, 10, 0) < 2);
  });

  it('spreads unrest to the places next to it, since steps of the layer come early or late', () => {
    const cycle = cycleOf(64, 200);
    cycle.unrest[2 * 30] = 7;
    assert.ok(unrestAt(cycle, 30, 0) > 3);
    assert.equal(unrestAt(cycle, 31, 0), unrestAt(cycle, 30, 0));
    assert.ok(unrestAt(cycle, 40, 0) < 2);
  });
});
