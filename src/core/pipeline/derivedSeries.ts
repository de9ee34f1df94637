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
  return askedFaults(header, asked).map(({ series: { name, expression }, code, message, at }) => {
    const what = at === undefined ? `derived series '${name}': ${message}` : message;
    const where = `it was asked for beside the header as '${name} = ${expression}' and is left out`;
    return { range: wholeLine(1), severity: 'error', code, message: `${what}; ${where}` };
  });
}

export interface AskedFault {
  readonly series: DerivedSeries;
  readonly code: string;
  readonly message: string;
  /** Offset in the expression; undefined where it is the name that cannot be. */
  readonly at: number | undefined;
}

/** What is wrong in series asked for beside a header, which holds none of them yet. */
export function askedFaults(header: LogHeader, asked: readonly DerivedSeries[]): AskedFault[] {
  return asked.flatMap((series, index): AskedFault[] => {
    const taken = nameTaken(series.name, header, asked.slice(0, index));
    if (taken !== '') return [{ series, code: 'derived-name-taken', message: taken, at: undefined }];
    let at = 0;
    const { problems } = compileDerived(series, header, (from) => ((at = from), wholeLine(1)), 1);
    return problems.map(({ code, message }) => ({ series, code, message, at }));
  });
}

/** '' where a series may have the name. */
function nameTaken(name: string, header: LogHeader, before: readonly DerivedSeries[]): string {
  if (header.columns.some((column) => column.name === name))
    return `a column is named '${name}' already; choose another name`;
  const other = [...header.derived, ...before].some((series) => series.name === name);
  return other ? `another series is named '${name}' already; choose another name` : '';
}
