import assert from 'node:assert/strict';
import fc from 'fast-check';
import { axialDifference, axis } from '../../../src/core/strain/axial.ts';

const angle = fc.double({ min: -20, max: 20, noNaN: true });

describe('axes', () => {
  it('lie in [0, pi), whatever angle they come from', () => {
    fc.assert(
      fc.property(angle, (a) => {
        const turned = axis(a);
        assert.ok(turned >= 0 && turned < Math.PI);
        assert.ok(Math.abs(Math.sin(turned - a)) < 1e-12);
      }),
    );
    assert.equal(axis(-1e-20), 0);
    assert.ok(Number.isNaN(axis(NaN)));
  });

  it('differ by at most a quarter turn, and the turn leads from one to the other', () => {
    fc.assert(
      fc.property(angle, angle, (to, from) => {
        const turn = axialDifference(to, from);
        assert.ok(turn >= -Math.PI / 2 && turn < Math.PI / 2);
        assert.ok(Math.abs(Math.sin(from + turn - to)) < 1e-12);
      }),
    );
  });
});
