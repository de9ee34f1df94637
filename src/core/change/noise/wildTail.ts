// How surprising a single wild sample is. Means of samples are nearly normal whatever the noise; one sample is as heavy-tailed
// as the noise itself, so its surprise by the normal law is restated by what the samples of this log have shown: passages of a
// low level are held against a grid of tails, and the probability of going further is the mean over them, each weighed by its
// likelihood (Bayes). So few are wild at first that samples taken blindly speak, too, by how far those of the greater half go. The
// tails are Student's, of two components: exact powers, exponential for no end of degrees; those with 3
// degrees are the heaviest with a variance, and so with a covariance to measure by. Plain data: state of a cell.

export interface WildTail {
  /** Samples looked at, and passages of the low level; forgetting. */
  looks: number;
  passed: number;
  /** Log-likelihood of each tail of the grid; forgetting. */
  readonly likelihood: Float64Array;
}

/** The low level: one sample in thirty passes it under the law. */
const passShare = 1 / 30;
export const wildLevel = -Math.log(passShare);
const degrees = [3, 5, 10, Infinity] as const;
/** The bulk of the noise is known, but not how all components together fit the law. */
const scales = [2 / 3, 1, 3 / 2] as const;
const tails = degrees.flatMap((freedom) => scales.map((scale) => ({ freedom, scale })));
const medianLevel = Math.LN2;
/** Passages that the law is worth as to their share. */
const lawPassages = 15;
/** One passage speaks for one tail against another by no more: it may have been a blow. */
const mostOdds = 5;
/** Memory in passages, and in samples. */
const memoryPassages = 1000;
const memoryLooks = memoryPassages / passShare;

export function newWildTail(): WildTail {
  return { looks: 0, passed: 0, likelihood: new Float64Array(tails.length) };
}

/** So many samples more. */
export function countWildLooks(tail: WildTail, looks: number): void {
  tail.looks += looks;
  if (tail.looks <= memoryLooks) return;
  tail.looks *= 0.5;
  tail.passed *= 0.5;
}

/** One of these passed the low level: `surprise` by the law. */
export function countWild(tail: WildTail, surprise: number): void {
  tail.passed++;
  speak(tail, surprise, wildLevel);
}

/** A sample taken blindly has this surprise by the law. */
export function countBlindly(tail: WildTail, surprise: number): void {
  if (surprise > medianLevel) speak(tail, surprise, medianLevel);
}

/** What a passage of `level` says of the tails. */
function speak({ likelihood }: WildTail, surprise: number, level: number): void {
  let most = -Infinity;
  for (let k = 0; k < tails.length; k++) {
    const { freedom, scale } = tails[k]!;
    const rest = freedom === Infinity ? 0 : Math.log1p((2 * surprise) / (scale * freedom));
    spoken[k] = logTail(surprise, level, freedom, scale) - Math.log(scale) - rest;
    if (spoken[k]! > most) most = spoken[k]!;
  }
  const kept = 1 - 1 / memoryPassages;
  for (let k = 0; k < tails.length; k++) {
    likelihood[k] = kept * likelihood[k]! + Math.max(most - mostOdds, spoken[k]!);
  }
}

const spoken = new Float64Array(tails.length);

/** Logarithm of the share of passages of `level` that go beyond `surprise`. */
function logTail(surprise: number, level: number, freedom: number, scale: number): number {
  if (freedom === Infinity) return (level - surprise) / scale;
  return 0.5 * freedom * Math.log((scale * freedom + 2 * level) / (scale * freedom + 2 * surprise));
}

/** The surprise by the law restated: -ln of the probability of going as far in one sample. */
export function wildSurprise(tail: WildTail, surprise: number): number {
  if (surprise <= wildLevel) return surprise;
  const { looks, passed, likelihood } = tail;
  const share = (lawPassages + passed) / (lawPassages / passShare + looks);
  const most = Math.max(...likelihood);
  let [all, beyond] = [0, 0];
  tails.forEach(({ freedom, scale }, k) => {
    const weight = Math.exp(likelihood[k]! - most);
    all += weight;
    beyond += weight * Math.exp(logTail(surprise, wildLevel, freedom, scale));
  });
  // Where nothing is left of the sum, the heaviest tail is a bound.
  const told = beyond > 0 ? Math.log(beyond / all) : logTail(surprise, wildLevel, 3, 1);
  return -Math.log(Math.min(1, share)) - told;
}
