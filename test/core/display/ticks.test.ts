import assert from 'node:assert/strict';
import fc from 'fast-check';
import { directionTicks, niceStep, niceTicks, timeTicks } from '../../../src/core/display/ticks.ts';

describe('ticks', () => {
  it('step by 1, 2 or 5 times a power of ten', () => {
    assert.deepEqual(niceTicks(0, 10, 5), [0, 2, 4, 6, 8, 10]);
    assert.deepEqual(niceTicks(-0.25, 0.3, 6), [-0.2, -0.1, 0, 0.1, 0.2, 0.3]);
    fc.assert(
      fc.property(fc.double({ min: 1e-9, max: 1e9, noNaN: true }), fc.integer({ min: 1, max: 20 }), (span, most) => {
        const step = niceStep(span, most);
        const mantissa = step / 10 ** Math.floor(Math.log10(step) + 1e-9);
        assert.ok(
          [1, 2, 5].some((one) => Math.abs(mantissa - one) < 1e-6),
          `${step}`,
        );
        assert.ok(span / step <= most * (1 + 1e-6));
      }),
    );
  });

  it('lie inside their range and never number more than asked for plus one', () => {
    const value = fc.double({ min: -1e6, max: 1e6, noNaN: true });
    fc.assert(
      fc.property(value, value, fc.integer({ min: 1, max: 12 }), (a, b, most) => {
        const [from, to] = [Math.min(a, b), Math.max(a, b)];
        if (!(to - from > 1e-6)) return;
        for (const ticks of [niceTicks(from, to, most), timeTicks(from, to, most)]) {
          assert.ok(ticks.length <= most + 1);
          const slack = (to - from) * 1e-6;
          assert.ok(ticks.every((tick) => tick >= from - slack && tick <= to + slack));
        }
      }),
    );
  });

  it('of time stand at steps that a clock has', () => {
    assert.deepEqual(timeTicks(0, 3600, 4), [0, 900, 1800, 2700, 3600]);
    assert.deepEqual(timeTicks(10, 100, 4), [30, 60, 90]);
    assert.deepEqual(timeTicks(0, 86400 * 10, 5), [0, 172800, 345600, 518400, 691200, 864000]);
  });

  it('puts directions where a half turn comes round: every label modulo 180 is one of the others', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -400, max: 400, noNaN: true }),
        fc.double({ min: 0.5, max: 600, noNaN: true }),
        (from, span) => {
          const ticks = directionTicks(from, from + span, 6);
          const steps = ticks.slice(1).map((tick, i) => tick - ticks[i]!);
          for (const step of steps) {
            const parts = Math.max(step, 180) / Math.min(step, 180);
            assert.ok(Math.abs(parts - Math.round(parts)) < 1e-6, `${step} degrees do not divide a half turn`);
          }
          assert.ok(ticks.length <= 7);
        },
      ),
    );
  });
});
