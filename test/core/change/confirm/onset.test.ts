// Where a change began, once more of it has been seen: the split of least squares (maximum likelihood for a jump in the mean
// of normal noise, Hinkley 1970), found here by trying all of them on the samples themselves.
import assert from 'node:assert/strict';
import { RandomStream } from '../../../../src/cli/simulation/random.ts';
import { newBlockTests } from '../../../../src/core/change/blocks/blockTests.ts';
import { newHistory, slot } from '../../../../src/core/change/history.ts';
import type { HistoryState } from '../../../../src/core/change/history.ts';
import { laterOnset } from '../../../../src/core/change/confirm/measure.ts';

/** Samples at the level 0 before the restart. */
const before = 32;
const tests = newBlockTests(Float64Array.of(1), 0);

function historyOf(samples: readonly number[]): HistoryState {
  const history = newHistory(1);
  samples.forEach((x, i) => (history.sums[slot(i + 1)] = history.sums[slot(i)]! + x));
  history.count = samples.length;
  return history;
}

/** Samples of noise 1 of which the first `still` are from before a jump of `size`. */
function samplesOf(random: RandomStream, still: number, count: number, size: number): number[] {
  return Array.from({ length: count }, (_, i) => random.normal() + (i < still ? 0 : size));
}

function leastSquares(samples: readonly number[]): number {
  const squares = (values: readonly number[]): number => {
    const mean = values.reduce((sum, v) => sum + v, 0) / values.length;
    return values.reduce((sum, v) => sum + (v - mean) ** 2, 0);
  };
  const whole = [...Array<number>(before).fill(0), ...samples];
  const left = samples
    .slice(0, -1)
    .map((_, split) => squares(whole.slice(0, before + split)) + squares(whole.slice(before + split)));
  return left.indexOf(Math.min(...left));
}

describe('onset seen again', () => {
  it('is the split of least squares, where that is three samples later or more', () => {
    const random = new RandomStream(5, 'onset');
    const kept = { stood: 0, moved: 0 };
    for (let trial = 0; trial < 300; trial++) {
      const samples = samplesOf(random, trial % 10, 16, 3);
      const split = leastSquares(samples);
      assert.equal(laterOnset(tests, historyOf(samples), [0], before, 16), split >= 3 ? split : 0);
      kept[split >= 3 ? 'moved' : 'stood']++;
    }
    assert.ok(kept.stood > 50 && kept.moved > 50, JSON.stringify(kept));
  });

  it('finds an onset that was put seven samples early', () => {
    const random = new RandomStream(6, 'onset');
    const errors = Array.from({ length: 200 }, () =>
      Math.abs(laterOnset(tests, historyOf(samplesOf(random, 7, 24, 3)), [0], before, 24) - 7),
    );
    const within = errors.filter((error) => error <= 1).length;
    assert.ok(within > 180, `${within} of 200 within a sample`);
  });

  it('is never put after the sample by which the change was told', () => {
    const history = historyOf(samplesOf(new RandomStream(7, 'onset'), 9, 24, 8));
    assert.equal(laterOnset(tests, history, [0], before, 24), 9);
    assert.ok(laterOnset(tests, history, [0], before, 6) < 6);
  });
});
