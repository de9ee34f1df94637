// A notes file read again after a change: threads whose lines are the same as before are taken over, only the others are
// parsed. Ten thousand threads of which one changed are read in the time of one.
import { inOrder } from './notes.ts';
import type { Notes, Thread } from './notes.ts';
import { parseNotes } from './parseNotes.ts';
import type { NotesReading } from './parseNotes.ts';

/** An entry's first line, or the first of the comment lines right above it. */
const threadStart = /^(?<!^ {2}#.*\n)(?=(?: {2}#.*\n)* {2}- )/m;

/** The same as `parseNotes(text)`. `previous` is what was read, or written, last. */
export function rereadNotes(text: string, previous: Notes): NotesReading {
  const plain = text.replace(/^\uFEFF/, '').replace(/\r\n/g, '\n');
  const known = new Map<string, Thread>();
  for (const thread of previous.threads) if (thread.source !== undefined) known.set(thread.source, thread);
  const [head = '', ...blocks] = plain.split(threadStart);
  const same = blocks.flatMap((block) => known.get(block) ?? []);
  if (same.length === 0) return parseNotes(text);
  const changed = blocks.filter((block) => !known.has(block));
  const empty = head.replace(/^threads:[ \t]*$/m, 'threads: []');
  const reading = parseNotes(changed.length > 0 ? `${head}${changed.join('')}` : empty);
  const threads = inOrder([...same, ...reading.notes.threads]);
  const ids = new Set(threads.map(({ id }) => id));
  // Places of problems are those of the whole file, so with any at all the whole is parsed.
  if (reading.problems.length > 0 || ids.size < threads.length) return parseNotes(text);
  const lineBreak = text.includes('\r\n') ? '\r\n' : '\n';
  const { notes } = reading;
  return { ...reading, notes: { ...notes, threads, lineBreak, source: changed.length > 0 ? notes.source : head } };
}
