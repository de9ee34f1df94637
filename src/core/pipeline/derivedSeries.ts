// A parsed header with what is wrong in its derived series, which the parser alone cannot tell.
import type { ParsedHeader } from '../header/parseHeader.ts';
import { derivedProblems } from '../strain/derived.ts';

/** The parser does not know what a derived series may say; a faulty one is told here and costs only itself. */
export function withDerivedProblems(parsed: ParsedHeader): ParsedHeader {
  if (!parsed.header) return parsed;
  const path = [...parsed.source.blockPath, 'derived'];
  const found = derivedProblems(parsed.header, (name) => parsed.rangeOf([...path, name]));
  return found.length === 0 ? parsed : { ...parsed, problems: [...parsed.problems, ...found] };
}
