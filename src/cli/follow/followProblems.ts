// What is new about the problems of a log that is being written. Bad rows seldom come alone: of each code the first is told,
// then once there are twice as many as were told, and the rest at the end, so that nothing is flooded and nothing dropped.
import { rank } from '../../core/problem.ts';
import type { Problem } from '../../core/problem.ts';

interface OfCode {
  /** In the order of the log. */
  readonly entries: readonly Problem[];
  /** Folded ones included. */
  readonly count: number;
}

export class FollowProblems {
  /** Problems of a rank beyond this are not told. */
  readonly #leastRank: number;
  readonly #told = new Map<string, OfCode>();
  #now = new Map<string, OfCode>();

  constructor(leastRank: number) {
    this.#leastRank = leastRank;
  }

  /** What is worth telling now, given all problems as they are known: each with how many more like it there are. */
  take(problems: readonly Problem[]): Problem[] {
    this.#now = byCode(problems.filter((problem) => rank(problem) <= this.#leastRank));
    // A log read anew has others.
    for (const [code, { count }] of this.#told) if ((this.#now.get(code)?.count ?? 0) < count) this.#told.delete(code);
    return this.#tell((now, told) => now >= 2 * told);
  }

  /** What has been kept back. */
  rest(): Problem[] {
    return this.#tell(() => true);
  }

  #tell(isWorth: (now: number, told: number) => boolean): Problem[] {
    return [...this.#now].flatMap(([code, now]) => {
      const told = this.#told.get(code) ?? { entries: [], count: 0 };
      const more = now.count - told.count;
      if (more === 0 || !isWorth(now.count, told.count)) return [];
      this.#told.set(code, now);
      // Of those beyond the last entry only the count is known.
      const first = now.entries[told.entries.length] ?? now.entries.at(-1)!;
      return [{ ...first, folded: more - 1 }];
    });
  }
}

function byCode(problems: readonly Problem[]): Map<string, OfCode> {
  const codes = new Map<string, Problem[]>();
  for (const problem of problems) codes.set(problem.code, [...(codes.get(problem.code) ?? []), problem]);
  return new Map(
    [...codes].map(([code, entries]) => [
      code,
      { entries, count: entries.reduce((sum, { folded }) => sum + 1 + (folded ?? 0), 0) },
    ]),
  );
}
