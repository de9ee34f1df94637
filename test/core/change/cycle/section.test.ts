// A part that begins or ends changes how long a layer is exposed, and the cycle with it. Lengths are what the test gives.
import assert from 'node:assert/strict';
import { isYoung, judgedSpan, newCycle, outOfRhythm, placeOf } from '../../../../src/core/change/cycle/cycle.ts';
import type { CycleState } from '../../../../src/core/change/cycle/cycle.ts';
import { visit } from '../../../../src/core/change/cycle/cyclePlaces.ts';
import type { Places } from '../../../../src/core/change/cycle/cyclePlaces.ts';
import { unrestAt } from '../../../../src/core/change/cycle/unrest.ts';
import { phases } from '../../../../src/core/header/logHeader.ts';

type Lengths = readonly [recoat: number, expose: number, dwell: number];

interface Known {
  readonly unrest: number;
  readonly young: boolean;
  /** Layers that a test may span. */
  readonly span: number;
}

/** Layers one row a second, `lengthsOf` their phases; what is known of the cycle after each of them, at its first place. */
function layersOf(layers: number, lengthsOf: (layer: number) => Lengths): Known[] {
  const cycle = newCycle(phases.length + 1, 1, Float64Array.of(1));
  // Places that are known to be calm.
  cycle.unrest.fill(1);
  let timeS = 0;
  return Array.from({ length: layers }, (_, layer) => {
    lengthsOf(layer).forEach((length, phase) => {
      for (let k = 0; k < length; k++, timeS++) step(cycle, timeS, layer, phase);
    });
    assert.ok(!outOfRhythm(cycle), `layer ${layer}`);
    const span = judgedSpan(cycle, 0) / lengthsOf(layer).reduce((sum, length) => sum + length, 0);
    return { unrest: unrestAt(cycle, 0, 0), young: isYoung(cycle), span };
  });
}

function step(cycle: CycleState, timeS: number, layer: number, phase: number): void {
  const place = placeOf(cycle, timeS, layer, phase, 1, timeS > 0 ? 1 : NaN);
  if (place >= 0)
    visit(cycle, { place: Int32Array.of(place), samplesPerPlace: Float64Array.of(1) } as unknown as Places, 0);
}

const restless = (layers: readonly { unrest: number }[]): number[] =>
  layers.flatMap(({ unrest }, layer) => (unrest > 1.5 ? [layer] : []));

describe('the section of a part', () => {
  for (const [before, after] of [
    [12, 24],
    [24, 12],
  ] as const) {
    it(`is another where ${before} s of exposure are ${after} s from one layer on, the layer as long as ever`, () => {
      const layers = layersOf(80, (layer) => {
        const exposed = layer < 40 ? before : after;
        return [8, exposed, 40 - exposed];
      });
      assert.deepEqual(restless(layers), [40, 41, 42, 43]);
      // Learned over its whole memory of 12 layers at first, and of 12 of which three were a guess then.
      const young = layers.flatMap((layer, i) => (layer.young ? [i] : []));
      assert.ok(layers[39]!.span > 10);
      // Within the layers since then.
      [40, 41, 45, 60].forEach((layer) => assert.ok(layers[layer]!.span <= Math.max(0.5, layer - 40) * 1.05));
      assert.ok(layers[60]!.span > 15);
      assert.deepEqual(young, [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 40, 41, 42, 43, 44, 45, 46, 47, 48, 49]);
    });
  }

  it('is the same where the blade, or the time until the next layer, takes longer', () => {
    assert.deepEqual(restless(layersOf(80, (layer) => [layer < 40 ? 8 : 14, 20, layer < 40 ? 12 : 6])), []);
  });

  it('is the same where exposures are of two lengths in turns, once that has been seen', () => {
    assert.deepEqual(
      restless(layersOf(80, (layer) => (layer % 2 === 0 ? [8, 14, 16] : [8, 24, 6]))).filter((layer) => layer > 20),
      [],
    );
  });
});
