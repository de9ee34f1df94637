import assert from 'node:assert/strict';
import fc from 'fast-check';
import { axialDifference, axialMean, axis } from '../../../src/core/strain/axial.ts';

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

  it('that cancel have no mean', () => {
    const { meanRad, deviationRad, resultant } = axialMean([0, Math.PI / 2]);
    assert.ok(Number.isNaN(meanRad) && Number.isNaN(deviationRad));
    assert.ok(resultant < 1e-12);
    assert.ok(Number.isNaN(axialMean([]).meanRad));
  });

  it('are averaged by weight, and missing ones left out', () => {
    const { meanRad } = axialMean([0.1, NaN, 0.3], [1, 5, 0]);
    assert.ok(Math.abs(meanRad - 0.1) < 1e-12);
  });

  it('have a mean that turns with them', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0, max: 0.7, noNaN: true }), { minLength: 1 }), angle, (axes, turn) => {
        const before = axialMean(axes).meanRad;
        const after = axialMean(axes.map((a) => a + turn)).meanRad;
        assert.ok(Math.abs(axialDifference(after, before + turn)) < 1e-9);
      }),
    );
  });
});
