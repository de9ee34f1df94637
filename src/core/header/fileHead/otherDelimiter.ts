// The sign that a table's fields are really separated by, where it is not the one that is needed: told by its name.
import { namesOfRow } from './namesRow.ts';

const names: Readonly<Record<string, string>> = { ';': 'semicolons', '\t': 'tabs', '|': 'bars', ' ': 'spaces' };

export interface OtherDelimiter {
  /** As a companion header writes it. */
  readonly written: string;
  /** In words, plural. */
  readonly name: string;
}

/** Undefined unless some other sign, and not their own, makes as many names of the line as there are columns. */
export function otherDelimiter(line: string, own: string, columns: number): OtherDelimiter | undefined {
  const fits = (delimiter: string): boolean => namesOfRow(line, delimiter).length === columns;
  if (columns < 2 || fits(own)) return undefined;
  const sign = Object.keys(names).find((each) => each !== own && fits(each));
  return sign === undefined ? undefined : { written: sign === '\t' ? 'tab' : `'${sign}'`, name: names[sign]! };
}
