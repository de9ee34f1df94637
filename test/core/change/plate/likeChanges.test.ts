// A cycle of the build that no layers tell: what comes again is no sure break, and a real break still is. Truth is what the
// test put in.
import assert from 'node:assert/strict';
import { RandomStream } from '../../../../src/cli/simulation/random.ts';
import type { ChangeFinding } from '../../../../src/core/change/findings.ts';
import { comesAgain, rememberChange } from '../../../../src/core/change/plate/likeChanges.ts';
import type { PastChanges } from '../../../../src/core/change/plate/likeChanges.ts';
import { along, quietPlate, watch } from '../../../support/quietPlate.ts';
import type { Watched } from '../../../support/quietPlate.ts';

/** A confirmed change; all that is not asked for is left out. */
function change(row: number, delta: readonly number[], more: Partial<ChangeFinding> = {}): ChangeFinding {
  const errors = { deltaError: delta.map(() => 1), soloEvidence: -20, layer: NaN, cell: 4 };
  return { what: 'change', stage: 'confirmed', row, timeS: row, delta, ...errors, ...more } as ChangeFinding;
}

function pastOf(...changes: readonly ChangeFinding[]): PastChanges {
  const past: PastChanges = {};
  for (const one of changes) rememberChange(past, one);
  return past;
}

describe('what a cell does again and again', () => {
  const there = change(100, [6, 3, 0]);
  const back = change(130, [-5, -3, 1]);

  it('is known by two changes before it, there or back', () => {
    assert.equal(comesAgain(pastOf(there), change(160, [6, 3, 0])), false);
    assert.equal(comesAgain(pastOf(there, back), change(160, [6, 4, -1])), true);
    assert.equal(comesAgain(pastOf(there, back), change(160, [-7, -3, 0])), true);
  });

  it('is not a change of another direction or size, of another cell, or hours later', () => {
    const past = pastOf(there, back);
    for (const other of [
      change(160, [-3, 6, 0]),
      change(160, [30, 15, 0]),
      change(160, [6, 3, 0], { cell: 5 }),
      change(9000, [6, 3, 0]),
    ]) {
      assert.equal(comesAgain(past, other), false, JSON.stringify(other.delta));
    }
  });

  it('leaves a missing channel, and what a channel did alone, out', () => {
    assert.equal(comesAgain(pastOf(there, back), change(160, [6, NaN, 0])), true);
    const alone = { soloEvidence: 3 };
    assert.equal(
      comesAgain(pastOf(change(100, [6, 0, 0], alone), change(130, [-6, 0, 0], alone)), change(160, [6, 0, 0])),
      false,
    );
  });

  it('is no matter of logs with layers, which have their cycle learned by its places', () => {
    const layer = { layer: 3 };
    assert.equal(
      comesAgain(pastOf(change(100, [6, 3, 0], layer), change(130, [-6, -3, 0], layer)), change(160, [6, 3, 0])),
      false,
    );
    assert.equal(comesAgain(pastOf(there, back), change(160, [6, 3, 0], layer)), false);
  });
});

describe('a log without layers whose plate moves with each of them', () => {
  /** Layers of about `layerRows`, two thirds of it exposure: each pulls at the cells by some noises, no two alike. */
  function cycling(seed: number, layerRows: number, breakRow: number, begins = 240): Watched {
    const random = new RandomStream(seed, 'layers');
    const samples = 3000;
    const pull = new Float64Array(samples);
    for (let row = begins; row < samples;) {
      const rows = Math.round(layerRows * (1 + 0.05 * random.normal()));
      const size = 1 + 0.2 * random.normal();
      for (let i = 0; i < (2 * rows) / 3 && row + i < samples; i++) pull[row + i] = size * (1 - Math.exp(-i / 4));
      row += rows;
    }
    return watch(
      quietPlate({
        samples,
        seed,
        reading: (value, cell, fibre, row) => {
          const broken = row >= breakRow && cell === 4 ? along([20, 8, 4], [0, 60, 120][fibre]!) : 0;
          return value + broken + pull[row]! * along([5 - cell / 2, 3, 2 - cell / 3], [0, 60, 120][fibre]!);
        },
      }),
    );
  }

  const sure = ({ events }: Watched): number[] =>
    events
      .filter(({ nature, sure, severity }) => nature === 'mechanical' && (sure || severity === 'error'))
      .map(({ row }) => row);

  it('is not told to have broken for sure', () => {
    for (const seed of [1, 2, 3, 4]) {
      for (const layerRows of [38, 90]) assert.deepEqual(sure(cycling(seed, layerRows, Infinity)), [], `seed ${seed}`);
    }
  });

  it('is told to have broken where it did, for sure once its cycle has been seen for long', () => {
    for (const seed of [1, 2, 3, 4]) {
      for (const layerRows of [38, 90]) {
        const late = sure(cycling(seed, layerRows, 2400));
        assert.ok(late.length === 1 && Math.abs(late[0]! - 2400) <= 2, `seed ${seed}: ${late.join()}`);
        const { events } = cycling(seed, layerRows, 900);
        const early = events.filter(({ nature, row }) => nature === 'mechanical' && Math.abs(row - 900) <= 2);
        assert.ok(early.length > 0 && early.every(({ severity }) => severity === 'warning'), `seed ${seed}`);
      }
    }
  });
});
