// Evidence of several cells taken together, and which cells belong to one break.
// Surprises add: twice the sum of k of them follows chi-square with 2k degrees of freedom under the law (Fisher 1925),
// paid for by the number of ways to choose those k cells out of the neighbourhood.
import { logChiSquareTail, logGamma } from '../noise/laws.ts';
import { pitches } from './plateFrame.ts';
import type { PlateFrame } from './plateFrame.ts';

/** Cells within so many pitches are neighbours; 1.6 takes in the diagonal of a square grid. */
const neighbourPitches = 1.6;
/** A break's cells lie within so many pitches of the strongest. */
export const reachPitches = 2.3;

/**
 * Surprise of a set of cells, given each one's own surprise in one look and the looks each had (`looks`), and the number
 * of cells they were chosen from.
 */
export function pooledSurprise(surprises: readonly number[], looks: number, from: number): number {
  const sorted = [...surprises].sort((a, b) => b - a);
  let sum = 0;
  let best = 0;
  for (let k = 1; k <= sorted.length; k++) {
    sum += Math.max(0, sorted[k - 1]! - Math.log(looks));
    const pooled = -logChiSquareTail(2 * sum, 2 * k) - logChoose(Math.max(from, k) - 1, k - 1);
    if (pooled > best) best = pooled;
  }
  return best;
}

/** What changes at the same instant by less than this share of the strongest is a part of its break, wherever it lies. */
export const slightShare = 0.5;

function logChoose(n: number, k: number): number {
  return logGamma(n + 1) - logGamma(k + 1) - logGamma(n - k + 1);
}

/**
 * Splits cells that changed together into breaks: each cell belongs to the break of its strongest neighbour, uphill to a
 * peak. Peaks within reach of a stronger one belong to it, unless the cells between hardly changed, and so do those farther
 * off that changed by no more than the stronger one can carry there: strain falls at least with the square of the distance
 * (Mogi 1958: the cube at depth).
 * `strength` and `size` (strain) per cell of `cells`.
 * Returns, per cell, the index of its peak among `cells`.
 */
export function peaksOf(
  frame: PlateFrame,
  cells: readonly number[],
  strength: readonly number[],
  size: readonly number[],
): number[] {
  const higher = (a: number, b: number): boolean =>
    strength[a]! > strength[b]! || (strength[a] === strength[b] && cells[a]! < cells[b]!);
  const uphill = cells.map((cell, i) => {
    let best = i;
    cells.forEach((other, k) => {
      if (pitches(frame, cell, other) <= neighbourPitches && higher(k, best)) best = k;
    });
    return best;
  });
  const peakOf = (i: number): number => (uphill[i] === i ? i : peakOf(uphill[i]!));
  const peaks = cells.map((_, i) => i).filter((i) => uphill[i] === i);
  const sorted = [...peaks].sort((a, b) => (higher(a, b) ? -1 : 1));
  const joined = new Map<number, number>();
  for (const peak of sorted) {
    const stronger = sorted.find((other) => {
      if (joined.get(other) !== other || other === peak) return false;
      const apart = pitches(frame, cells[peak]!, cells[other]!);
      if (size[peak]! <= size[other]! * Math.max(slightShare, (neighbourPitches / apart) ** 2)) return true;
      return apart <= reachPitches && strength[peak]! - saddle(frame, cells, strength, other, peak) < valleyDepth;
    });
    joined.set(peak, stronger ?? peak);
  }
  return cells.map((_, i) => joined.get(peakOf(i))!);
}

/** Between the peaks of one break strength falls by chance only: four standard errors of the difference of two strengths. */
const valleyDepth = 4 * Math.SQRT2;

/** Strength of the weakest cell on the strongest way from one cell to the other, from neighbour to neighbour; 0 where there is none. */
function saddle(
  frame: PlateFrame,
  cells: readonly number[],
  strength: readonly number[],
  from: number,
  to: number,
): number {
  const reached = new Set([from]);
  let weakest = Infinity;
  while (!reached.has(to)) {
    const beside = cells
      .map((_, i) => i)
      .filter((i) => !reached.has(i))
      .filter((i) => [...reached].some((k) => pitches(frame, cells[i]!, cells[k]!) <= neighbourPitches));
    if (beside.length === 0) return 0;
    const next = beside.reduce((a, b) => (strength[b]! > strength[a]! ? b : a));
    weakest = Math.min(weakest, strength[next]!);
    reached.add(next);
  }
  return weakest;
}
