// What was told of a gathering before, when it is judged again.
import { hadBegun } from './incident.ts';
import type { Gathering, Member, Told } from './incident.ts';
import { countOff, withdrawEvent } from './ledger.ts';
import type { LedgerState } from './ledger.ts';
import { isNews } from './likeChanges.ts';
import type { PastChanges } from './likeChanges.ts';

/** It is told no more. */
export function takeBack(ledger: LedgerState, told: Told): void {
  if (isCounted(told)) countOff(ledger, told.countedIn);
  else withdrawEvent(ledger, told.slot);
}

/**
 * As what a part of the gathering was told; undefined where it is new. What began after a break was told is not that break, even
 * in its cell: what was suspected there gave way to it. Nor is what was counted among others still one of them, where a cell
 * turns out to do what it did not before.
 */
export function toldSoFar(past: PastChanges, { told }: Gathering, part: readonly Member[]): Told | undefined {
  const before = told.find(
    ({ cell, detectedRow }) =>
      part.some(({ finding }) => finding.cell === cell) && part.some((m) => hadBegun(m, detectedRow)),
  );
  return before && isCounted(before) && part.some((m) => isNews(past, m)) ? undefined : before;
}

/** It is not told by itself. */
export function isCounted({ countedIn }: Told): boolean {
  return countedIn >= 0;
}
