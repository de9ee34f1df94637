// How truly layers repeat each other: truth is the scatter of size and time that the test puts into each layer's cycle.
import assert from 'node:assert/strict';
import { RandomStream } from '../../../../src/cli/simulation/random.ts';
import { infidelityAt, learnFidelity, newFidelity } from '../../../../src/core/change/cycle/cycleFidelity.ts';
import type { FidelityState } from '../../../../src/core/change/cycle/cycleFidelity.ts';
import { blockMean, newHistory, slot } from '../../../../src/core/change/history.ts';
import { newScatter } from '../../../../src/core/change/noise/scatter.ts';
import { along, quietPlate, watch } from '../../../support/quietPlate.ts';

const layerSamples = 40;
const length = 3;
const before = 12;

/** A cycle that rises over ten samples and falls over ten, in noises of one sample. */
function cycleAt(sample: number): number {
  const since = ((sample % layerSamples) + layerSamples) % layerSamples;
  return 12 * Math.max(0, 1 - Math.abs(since - 14) / 10);
}

/** Layers whose size scatters by `size` (a share) and whose steps by `time` (samples), seen with noise of one. */
function learned(size: number, time: number): FidelityState {
  const random = new RandomStream(3, 'layers');
  const state = newFidelity();
  const history = newHistory(1);
  const scatter = newScatter(1, Float64Array.of(1 / length + 1 / before), new Float64Array(1));
  let [factor, late] = [1, 0];
  for (let n = 1; n <= 400 * layerSamples; n++) {
    if (n % layerSamples === 0) [factor, late] = [1 + size * random.normal(), time * random.normal()];
    const at = slot(n);
    const rest = factor * cycleAt(n - late) - cycleAt(n) + random.normal();
    history.count = n;
    history.sums[at] = history.sums[slot(n - 1)]! + rest;
    history.takenSums[at] = history.takenSums[slot(n - 1)]! + cycleAt(n);
    if (n < length + before || n % 4 !== 0) continue;
    const difference = blockMean(history, n - length, n, 0) - blockMean(history, n - length - before, n - length, 0);
    const t2 = difference ** 2 / (1 / length + 1 / before);
    learnFidelity(state, history, scatter, 0, length, before, Float64Array.of(difference, t2), 1);
  }
  return state;
}

describe('fidelity of the cycle', () => {
  it('finds by how much the size of layers scatters', () => {
    const { amplitude, timing } = learned(0.3, 0);
    assert.ok(amplitude > 0.3 ** 2 / 2 && amplitude < 2 * 0.3 ** 2, `amplitude ${amplitude}`);
    assert.ok(timing < 0.5, `timing ${timing}`);
  });

  it('finds by how much their steps come early or late', () => {
    const { amplitude, timing } = learned(0, 1.5);
    assert.ok(timing > 1.5 ** 2 / 2.5 && timing < 2 * 1.5 ** 2, `timing ${timing}`);
    assert.ok(amplitude < 0.04, `amplitude ${amplitude}`);
  });

  it('forgets its first guess where layers are all alike', () => {
    const { amplitude, timing } = learned(0, 0);
    assert.ok(amplitude < 0.01 && timing < 0.1, `${amplitude} ${timing}`);
  });

  it('asks for more only where the cycle goes by', () => {
    const history = newHistory(1);
    const scatter = newScatter(1, Float64Array.of(1), new Float64Array(1));
    history.count = 100;
    assert.equal(infidelityAt(newFidelity(), history, scatter, 0, length, before), 1);
    for (let n = 98; n <= 100; n++) history.takenSums[slot(n)] = 20 * (n - 97);
    assert.ok(infidelityAt(newFidelity(), history, scatter, 0, length, before) > 5);
  });
});

describe('layers that are not alike', () => {
  /** Each layer's cycle is of its own size and direction; after that a break of eight noises between two steps. */
  function build(breakAt: number): ReturnType<typeof watch> {
    const random = new RandomStream(11, 'layers');
    const tensors = Array.from({ length: 80 }, () => {
      const turned = 0.3 * random.normal();
      return [1 + 0.1 * random.normal() + turned, 1 - turned, 0.6 * random.normal()] as [number, number, number];
    });
    const directionsDeg = [0, 60, 120];
    return watch(
      quietPlate({
        samples: 80 * layerSamples,
        layer: (row) => Math.floor(row / layerSamples),
        reading: (value, cell, fibre, row) => {
          const cycle = along(tensors[Math.floor(row / layerSamples)]!, directionsDeg[fibre]!) * cycleAt(row);
          const broken = cell === 4 && row >= breakAt ? along([8, 3, 2], directionsDeg[fibre]!) : 0;
          return value + cycle + broken;
        },
      }),
    );
  }

  it('are not taken for breaks', () => {
    assert.deepEqual(
      build(Infinity).events.map(({ kind, row }) => [kind, row]),
      [],
    );
  });

  it('do not hide a break at a quiet place of the tenth of them', () => {
    const row = 9 * layerSamples + 34;
    const told = build(row).events.filter(({ nature }) => nature === 'mechanical');
    assert.deepEqual(
      told.map((e) => [e.row, e.cells[0]!.cell]),
      [[row, 4]],
    );
  });
});
