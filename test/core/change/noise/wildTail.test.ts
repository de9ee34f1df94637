// How surprising single samples are, against the laws they were drawn from (Student's with two components: exact powers).
import assert from 'node:assert/strict';
import { RandomStream } from '../../../../src/cli/simulation/random.ts';
import {
  countWild,
  countWildLooks,
  newWildTail,
  wildLevel,
  wildSurprise,
} from '../../../../src/core/change/noise/wildTail.ts';

/** A tail that has seen so many samples whose surprise by the normal law is `surpriseOf` a uniform number. */
function learned(samples: number, surpriseOf: (uniform: number) => number): ReturnType<typeof newWildTail> {
  const random = new RandomStream(1, 'wild');
  const tail = newWildTail();
  countWildLooks(tail, samples);
  for (let i = 0; i < samples; i++) {
    const surprise = surpriseOf(random.uniform());
    if (surprise > wildLevel) countWild(tail, surprise);
  }
  return tail;
}

describe('the surprise of a wild sample', () => {
  it('is that of the law it follows, once that has shown', () => {
    const normal = learned(20_000, (u) => -Math.log(u));
    for (const surprise of [8, 12, 18]) assert.ok(Math.abs(wildSurprise(normal, surprise) - surprise) < 1.5);
    // Half the square of two Student's components with f degrees passes z with the probability (1 + 2 z / f)^(-f / 2).
    const student = learned(20_000, (u) => 1.5 * (u ** (-2 / 3) - 1));
    for (const z of [20, 200, 2000]) {
      const expected = 1.5 * Math.log1p((2 * z) / 3);
      assert.ok(Math.abs(wildSurprise(student, z) - expected) < 1.5, `${wildSurprise(student, z)} for ${expected}`);
    }
  });

  it('is little while the law is not known, and one blow does not make the next one usual', () => {
    assert.ok(wildSurprise(newWildTail(), 100) < 14);
    const tail = learned(5000, (u) => -Math.log(u));
    const before = wildSurprise(tail, 40);
    countWild(tail, 500);
    assert.ok(wildSurprise(tail, 40) > 0.75 * before && wildSurprise(tail, 40) > 18);
  });
});
