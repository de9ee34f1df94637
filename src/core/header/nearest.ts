// The nearest of some known words to a misspelt one, by edit distance with swaps of neighbours (optimal string alignment,
// after Damerau 1964), for fixes that have one right answer.

/** The one candidate within a third of the word's length (at least one edit); undefined where none or two are as near. */
export function nearest(word: string, candidates: readonly string[]): string | undefined {
  const limit = Math.max(1, Math.floor(word.length / 3));
  let best: string | undefined;
  let bestDistance = limit + 1;
  for (const candidate of candidates) {
    const distance = editDistance(word, candidate);
    if (distance < bestDistance) [best, bestDistance] = [candidate, distance];
    else if (distance === bestDistance && candidate !== best) best = undefined;
  }
  return best === '' ? undefined : best;
}

/** Edits (insert, delete, replace, swap of neighbours; letter case costs a tenth) between two short words. */
function editDistance(a: string, b: string): number {
  let before: number[] = [];
  let above = Array.from({ length: b.length + 1 }, (_, column) => column);
  for (let row = 1; row <= a.length; row++) {
    const current = [row];
    for (let column = 1; column <= b.length; column++) {
      const left = a[row - 1]!;
      const right = b[column - 1]!;
      const replace = left === right ? 0 : left.toLowerCase() === right.toLowerCase() ? 0.1 : 1;
      let cost = Math.min(above[column]! + 1, current[column - 1]! + 1, above[column - 1]! + replace);
      if (row > 1 && column > 1 && left === b[column - 2] && a[row - 2] === right) {
        cost = Math.min(cost, before[column - 2]! + 1);
      }
      current.push(cost);
    }
    [before, above] = [above, current];
  }
  return above[b.length]!;
}
