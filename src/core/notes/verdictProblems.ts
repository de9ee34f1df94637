// A verdict that none of those who judged gave: written by hand, or left by a merge. It would pass for theirs.
import type { Problem, TextRange } from '../problem.ts';
import type { WrittenThread } from './schema.ts';

/** `bad`: threads that are not read. `placeOf` gives the range of a thread's key. */
export function verdictProblems(
  threads: readonly WrittenThread[],
  bad: ReadonlySet<number>,
  placeOf: (thread: number, key: 'verdict' | 'judged') => TextRange,
): Problem[] {
  return threads.flatMap(({ verdict, judged = [] }, at): Problem[] => {
    if (bad.has(at) || judged.length === 0 || judged.some((one) => one.verdict === verdict)) return [];
    const given = judged.map(({ by = '', verdict: one }) => `${by === '' ? 'someone' : by}: ${one}`).join(', ');
    const [key, what] =
      verdict === undefined
        ? (['judged', `No 'verdict' stands here, though it was judged (${given}).`] as const)
        : (['verdict', `Nobody who judged gave the verdict '${verdict}' (${given}).`] as const);
    const message = `${what} Write one of theirs as the verdict, or add who gave this one to 'judged'.`;
    return [{ range: placeOf(at, key), severity: 'error', code: 'notes-verdict-not-given', message }];
  });
}
