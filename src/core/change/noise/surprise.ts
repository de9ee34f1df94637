// How surprising a squared distance is, from what is known of the covariance by which it is measured; and the distances at
// which the two thresholds of a test lie. `s` is the shape of the blocks, `weight` the observations that its covariance is
// worth beside its prior, `dimension` the components tested.
import { blockPlans } from './blockShapes.ts';
import { fPoint, logFTail } from './laws.ts';
import { priorWeight } from './scatter.ts';
import { lowSurprise } from './tail.ts';

/**
 * Surprise of a squared distance. The covariance is known as well as from its prior and its own observations; but its
 * size, which the prior may have wrong, only as well as from its own, `dimension` numbers each.
 */
export function surpriseOf(t2: number, weight: number, s: number, dimension: number): number {
  const own = weight * blockPlans[s]!.worth;
  const known = priorWeight + own;
  const lower = lowerFreedom(own, dimension);
  return -logFTail((t2 * (known - dimension + 1)) / (known * dimension), dimension, lower);
}

/** Two observations stand for what is known of the size beforehand. */
function lowerFreedom(own: number, dimension: number): number {
  return 1 / (1 / (priorWeight + own - dimension + 1) + 1 / (dimension * (own + 2)));
}

const points = new Map<string, number>();

/** Squared distance of the low surprise. Remembered: the search for it is slow, and its argument moves slowly. */
export function lowPointFor(weight: number, s: number, dimension: number): number {
  const own = Math.round(weight * blockPlans[s]!.worth);
  const key = `${dimension}/${own}`;
  const found = points.get(key);
  if (found !== undefined) return found;
  const known = priorWeight + own;
  const point = fPoint(-lowSurprise, dimension, lowerFreedom(own, dimension));
  const t2 = (point * known * dimension) / (known - dimension + 1);
  points.set(key, t2);
  return t2;
}

/** Distance beyond which an observation counts less: the 99 % point of chi-square (Wilson & Hilferty 1931). */
export function limitFor(dimension: number): number {
  const c = 2 / (9 * dimension);
  return dimension * (1 - c + 2.326 * Math.sqrt(c)) ** 3;
}
