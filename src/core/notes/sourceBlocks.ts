// A parsed notes file -> the very lines of its head and of each thread, so that unchanged threads are written back as
// they stood, with a person's own comments and line breaks in them. Undefined where the file is laid out otherwise
// than this program writes it (one block entry a thread, two spaces in): then it is laid out anew.
import { isMap, isSeq } from 'yaml';
import type { Document } from 'yaml';

export interface SourceBlocks {
  /** Everything above the first thread. */
  readonly head: string;
  readonly threads: readonly string[];
}

const threadsLine = /^threads:[ \t]*(#.*)?$/m;

export function sourceBlocks(document: Document.Parsed, text: string): SourceBlocks | undefined {
  const start = threadsLine.exec(text);
  const list: unknown = document.getIn(['threads'], true);
  if (!start || !isSeq(list) || list.flow) return undefined;
  if (isMap(document.contents) && document.contents.items.at(-1)?.value !== list) return undefined;
  const bodyAt = start.index + start[0].length + 1;
  const starts: number[] = [];
  for (const item of list.items) {
    const at = isMap(item) && item.range ? text.lastIndexOf('\n', item.range[0] - 1) + 1 : -1;
    if (at < 0 || !text.startsWith('  - ', at) || text.slice(at + 4, itemStart(item, at)).trim() !== '')
      return undefined;
    starts.push(at);
  }
  if (starts.length > 0 && !onlyComments(text.slice(bodyAt, starts[0]))) return undefined;
  const withComments = starts.map((at) => beforeComments(text, at, bodyAt));
  const threads = withComments.map((at, index) => ended(text.slice(at, withComments[index + 1] ?? text.length)));
  return { head: ended(text.slice(0, withComments[0] ?? bodyAt)), threads };
}

function itemStart(item: unknown, fallback: number): number {
  return isMap(item) && item.range ? item.range[0] : fallback;
}

function onlyComments(text: string): boolean {
  return text.split('\n').every((line) => line.trim() === '' || line.trimStart().startsWith('#'));
}

/** Comment lines right above an entry, as far in as the entry, belong to it. */
function beforeComments(text: string, at: number, floor: number): number {
  let start = at;
  while (start > floor) {
    const previous = text.lastIndexOf('\n', start - 2) + 1;
    if (previous < floor || !/^ {2}#/.test(text.slice(previous, start))) break;
    start = previous;
  }
  return start;
}

function ended(text: string): string {
  return text.endsWith('\n') ? text : `${text}\n`;
}
