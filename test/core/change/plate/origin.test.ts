// The place of a change where the fit has little or nothing to go by.
import assert from 'node:assert/strict';
import { fitOrigin } from '../../../../src/core/change/plate/origin.ts';
import type { PlaceChange } from '../../../../src/core/change/plate/origin.ts';

const bounds = { pitchM: 0.05, sizeM: [0.25, 0.25] } as const;
const placed = (xM: number, yM: number, size: number): PlaceChange => ({
  xM,
  yM,
  change: [size, size, 0],
  variance: [1e-12, 1e-12, 1e-12],
});

describe('origin of a change', () => {
  it('is near the cell that tells of it, off the plate or on it', () => {
    for (const x of [-0.4, 0.05, 0.4, 5]) {
      const others = [placed(0.1, 0.1, 0), placed(0.15, 0.1, 0), placed(0.1, 0.15, 0)];
      const origin = fitOrigin([placed(x, 0.05, 50e-6), ...others], bounds)!;
      assert.ok(Math.hypot(origin.xM - x, origin.yM - 0.05) < bounds.pitchM, `${origin.xM}, ${origin.yM}`);
      assert.ok(origin.spreadM > 0);
    }
  });

  it('is the only cell there is, known to a pitch', () => {
    const origin = fitOrigin([placed(0.075, 0.075, 50e-6)], bounds)!;
    assert.deepEqual([origin.xM, origin.yM, origin.spreadM], [0.075, 0.075, bounds.pitchM]);
  });

  it('is none where nothing changed', () => {
    assert.equal(fitOrigin([placed(0.1, 0.1, 0)], bounds), undefined);
  });
});
