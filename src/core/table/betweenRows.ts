// What may stand before a row and is none: a byte order mark, blank lines, comments.
import { startsWith } from './fieldReader.ts';

const LF = 10;
const CR = 13;
const SPACE = 32;
const TAB = 9;

/** As bytes of UTF-8; no comments where that is empty. */
export interface BetweenRowsForm {
  readonly delimiter: Uint8Array;
  readonly comment: Uint8Array;
}

/** Where the blank or comment line at `from` ends, or a byte order mark; `from` where there is none of these. */
export function passOver(
  bytes: Uint8Array,
  from: number,
  atFileStart: boolean,
  { delimiter, comment }: BetweenRowsForm,
): number {
  if (bytes[from] === 0xef) {
    return atFileStart && bytes[from + 1] === 0xbb && bytes[from + 2] === 0xbf ? from + 3 : from;
  }
  if (comment.length > 0 && startsWith(bytes, from, comment)) return bytes.indexOf(LF, from) + 1;
  let p = from;
  while (bytes[p] === SPACE || bytes[p] === CR || (bytes[p] === TAB && delimiter[0] !== TAB)) p++;
  return bytes[p] === LF ? p + 1 : from;
}
