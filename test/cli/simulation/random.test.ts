// Random numbers: right distributions, and streams that do not depend on each other.
import assert from 'node:assert/strict';
import { normalQuantile, RandomStream } from '../../../src/cli/simulation/random.ts';
import { near } from '../../support/near.ts';

describe('random streams', () => {
  it('invert the normal distribution as Wichura (1988, AS 241) prints it for checking', () => {
    near(normalQuantile(0.25), -0.6744897501960817, 1e-15);
    near(normalQuantile(0.001), -3.090232306167814, 1e-14);
    near(normalQuantile(1e-20), -9.26234008979841, 1e-13);
    assert.equal(normalQuantile(0.5), 0);
  });

  it('are symmetric about a half', () => {
    for (const p of [0.4, 0.07, 1e-3, 1e-9]) near(normalQuantile(1 - p), -normalQuantile(p), 1e-6);
  });

  it('give normal numbers with the moments 0, 1, 0, 3', () => {
    const random = new RandomStream(1, 'moments');
    const n = 200000;
    const sums = [0, 0, 0, 0];
    for (let i = 0; i < n; i++) {
      const x = random.normal();
      for (let k = 0; k < 4; k++) sums[k]! += x ** (k + 1) / n;
    }
    // Four standard errors of each moment: sqrt of 1, 2, 15, 96 over n.
    [0, 1, 0, 3].forEach((want, k) => near(sums[k]!, want, 4 * Math.sqrt([1, 2, 15, 96][k]! / n)));
  });

  it("give Student's t with variance 1 and its heavy tails", () => {
    // Kurtosis of t with 10 degrees: 3 + 6 / (10 - 4) = 4 (Johnson, Kotz and Balakrishnan, Continuous Univariate
    // Distributions 2, chapter 28, from memory). Share beyond 1.812461 t: one tail of 5 %, from its table.
    const random = new RandomStream(2, 'student');
    const n = 300000;
    let [square, fourth, beyond] = [0, 0, 0];
    for (let i = 0; i < n; i++) {
      const x = random.student(10);
      square += x * x;
      fourth += x ** 4;
      if (x * Math.sqrt(10 / 8) > 1.812461) beyond++;
    }
    near(square / n, 1, 0.02);
    near(fourth / n, 4, 0.3);
    near(beyond / n, 0.05, 0.002);
  });

  it('repeat themselves, and differ by seed and by name', () => {
    const first = (seed: number, name: string): number[] => {
      const random = new RandomStream(seed, name);
      return Array.from({ length: 5 }, () => random.uniform());
    };
    assert.deepEqual(first(3, 'a'), first(3, 'a'));
    assert.notDeepEqual(first(3, 'a'), first(4, 'a'));
    assert.notDeepEqual(first(3, 'a'), first(3, 'b'));
  });

  it('show no correlation between streams of neighbouring names', () => {
    const [a, b] = [new RandomStream(5, 'channel 1'), new RandomStream(5, 'channel 2')];
    const n = 100000;
    let sum = 0;
    for (let i = 0; i < n; i++) sum += a.normal() * b.normal();
    near(sum / n, 0, 4 / Math.sqrt(n));
  });
});
