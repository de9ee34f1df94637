// What is wrong with the datum window, told as problems of the header: every output shows those.
import type { ParsedHeader } from '../header/parseHeader.ts';
import { wholeLine } from '../problem.ts';
import type { Problem } from '../problem.ts';
import type { DatumReport } from '../strain/datumReport.ts';

/** It is known only from rows, so what reads the header alone does not find it. */
export const datumCode = 'datum-unfit';

/** Stands at the header's `datum`, or where one would be written. */
export function withDatumProblems(parsed: ParsedHeader, { reasons }: DatumReport): ParsedHeader {
  if (reasons.length === 0) return parsed;
  const at = (key: string): ReturnType<ParsedHeader['rangeOf']> => parsed.rangeOf([...parsed.source.blockPath, key]);
  const range = at('datum') ?? at('strain_log') ?? wholeLine(1);
  const problems = reasons.map((reason): Problem => {
    const message = `${reason[0]!.toLowerCase()}${reason.slice(1).replace(/\.$/, '')}`;
    return { range, severity: 'warning', code: datumCode, message };
  });
  return { ...parsed, problems: [...parsed.problems, ...problems] };
}
