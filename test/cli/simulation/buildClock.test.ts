// Layers, phases and pauses of a simulated build.
import assert from 'node:assert/strict';
import { buildClock } from '../../../src/cli/simulation/buildClock.ts';
import type { Instant } from '../../../src/cli/simulation/buildClock.ts';
import { sampleScenario } from '../../support/simulatedBuild.ts';

const regular = (() => {
  const scenario = sampleScenario('good-build');
  return {
    ...scenario,
    build: { ...scenario.build, layers: 4 },
    warmUpS: 100,
    layer: { recoatS: 10, exposeS: 30, dwellS: 5, jitter: 0, drift: 0 },
  };
})();

function at(clock: ReturnType<typeof buildClock>, timeS: number): Instant {
  const now: Instant = { layer: 0, phase: 0, part: 0, exposed: 0 };
  clock.at(timeS, now);
  return now;
}

describe('the build clock', () => {
  it('runs warm-up, then recoat, expose and dwell of each layer', () => {
    const clock = buildClock(regular);
    assert.equal(at(clock, 99.9).layer, 0);
    assert.deepEqual({ ...at(clock, 100), part: -1 }, { layer: 1, phase: 0, part: -1, exposed: 0 });
    assert.equal(at(clock, 110).phase, 1);
    assert.equal(at(clock, 139.9).phase, 1);
    assert.equal(at(clock, 140).phase, 2);
    assert.equal(at(clock, 145).layer, 2);
    assert.equal(clock.endS, 100 + 4 * 45);
    assert.equal(clock.timeOf({ layer: 3, afterS: 7 }), 197);
  });

  it('exposes each part for a share of the exposure by its area', () => {
    const clock = buildClock(regular);
    // Two brackets of 80 x 65 mm; the manifold of 130 x 75 mm and a roof 130 wide, 10 high, less two halves: 10 400 mm2.
    const areas = [5200, 5200, 10400];
    const total = 20800;
    clock.shares.forEach(({ from, to }, i) => assert.ok(Math.abs(to - from - areas[i]! / total) < 1e-9, `part ${i}`));
    assert.equal(at(clock, 111).part, 0);
    assert.equal(at(clock, 139).part, 2);
    assert.equal(at(clock, 105).part, -1);
  });

  it('stands still in a pause: laser off, and everything later by its length', () => {
    const paused = { ...regular, pauses: [{ at: { layer: 2, afterS: 20 }, lastsS: 100 }] };
    const clock = buildClock(paused);
    assert.equal(clock.startS(2), 145);
    assert.equal(clock.startS(3), 290);
    assert.equal(at(clock, 164.9).part >= 0, true);
    const inside = at(clock, 200);
    assert.deepEqual([inside.layer, inside.phase, inside.part], [2, 1, -1]);
    assert.ok(Math.abs(inside.exposed - 1 / 3) < 1e-9);
    assert.ok(Math.abs(at(clock, 266).exposed - 11 / 30) < 1e-9);
    assert.equal(clock.endS, buildClock(regular).endS + 100);
  });

  it('varies the exposure as asked, and never below a fifth', () => {
    const wild = {
      ...regular,
      build: { ...regular.build, layers: 2000 },
      layer: { ...regular.layer, jitter: 0.5, drift: 0.5 },
    };
    const clock = buildClock(wild);
    const lengths = Array.from({ length: 2000 }, (_, i) => clock.startS(i + 2) - clock.startS(i + 1) - 15);
    assert.ok(Math.min(...lengths) >= 6 - 1e-9);
    assert.ok(Math.max(...lengths) > 40);
  });
});
