// What is wrong in derived series, which the parser alone cannot tell: in those of the header, and in those asked for beside
// it, on the command line or in settings.
import type { DerivedSeries, LogHeader } from '../header/logHeader.ts';
import type { ParsedHeader } from '../header/parseHeader.ts';
import { wholeLine } from '../problem.ts';
import type { Problem } from '../problem.ts';
import { compileDerived, derivedProblems } from '../strain/derived.ts';

/** The parser does not know what a derived series may say; a faulty one is told here and costs only itself. */
export function withDerivedProblems(parsed: ParsedHeader): ParsedHeader {
  const { header } = parsed;
  if (!header) return parsed;
  const path = [...parsed.source.blockPath, 'derived'];
  const found = derivedProblems(header, (name) => parsed.rangeOf([...path, name]));
  return found.length === 0 ? parsed : { ...parsed, problems: [...parsed.problems, ...found] };
}

/** Of series that stand in no file: told at the first line of the log, also where its header is a companion. */
export function askedProblems(header: LogHeader, asked: readonly DerivedSeries[]): Problem[] {
  return asked.flatMap((series, at) => problemsOfAsked(series, header, asked.slice(0, at)));
}

function problemsOfAsked(series: DerivedSeries, header: LogHeader, before: readonly DerivedSeries[]): Problem[] {
  const range = wholeLine(1);
  const taken = nameTaken(series.name, header, before);
  const found: readonly Pick<Problem, 'code' | 'message'>[] =
    taken === ''
      ? compileDerived(series, header, () => range, 1).problems
      : [{ code: 'derived-name-taken', message: `derived series '${series.name}': ${taken}` }];
  const where = `; it was asked for beside the header as '${series.name} = ${series.expression}' and is left out`;
  return found.map(({ code, message }) => ({ range, severity: 'error', code, message: `${message}${where}` }));
}

/** '' where a series may have the name. */
export function nameTaken(name: string, header: LogHeader, before: readonly DerivedSeries[] = []): string {
  if (header.columns.some((column) => column.name === name))
    return `a column is named '${name}' already; choose another name`;
  const other = [...header.derived, ...before].some((series) => series.name === name);
  return other ? `another series is named '${name}' already; choose another name` : '';
}
