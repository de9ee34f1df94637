// Who judged what, for the report: everyone's verdict is told, so that none passes for that of all.
import type { Judgement } from '../../core/notes/judge.ts';
import type { GivenVerdict, Thread, Verdict } from '../../core/notes/notes.ts';

/** As people read it: 'false alarm'. */
export function verdictText(verdict: Verdict | ''): string {
  return verdict.replace('-', ' ');
}

/** A thread's verdict with everyone who judged: 'false alarm (Ben, DATE: confirmed; Anna, DATE: false alarm)'. */
export function signedVerdict({ verdict, judged }: Thread): string {
  if (judged.length === 0) return verdict === '' ? '' : `${verdictText(verdict)} (not noted who judged)`;
  const [first] = judged;
  const alone = judged.length === 1 && first!.verdict === verdict;
  const signed = judged.map((one) => `${nameOf(one)}, ${one.date}${alone ? '' : `: ${verdictText(one.verdict)}`}`);
  return `${verdict === '' ? 'no verdict' : verdictText(verdict)} (${signed.join('; ')})`;
}

/** Names of those who gave the verdict that stands, each once; none where it was not noted. */
export function judgesOf({ verdict, threads }: Judgement): string[] {
  const given = threads.flatMap(({ judged }) => judged).filter((one) => one.verdict === verdict);
  return [...new Set(given.map(nameOf))];
}

/** Whether somebody judged otherwise than the verdict that stands. */
export function isDisputed({ verdict, threads }: Judgement): boolean {
  return threads.some(
    (thread) =>
      (thread.verdict !== '' && thread.verdict !== verdict) || thread.judged.some((one) => one.verdict !== verdict),
  );
}

function nameOf({ by }: GivenVerdict): string {
  return by === '' ? 'somebody unnamed' : by;
}
