// The small text files that stand beside a log on disk. One that is absent is none; one that is there and cannot be read is
// told, since what it says would be missed without a word. Node only.
import { readFile, readdir, stat } from 'node:fs/promises';
import { basename, dirname, parse } from 'node:path';
import { headerEnding, isLogName, unreadableHeader } from '../core/besideLog.ts';
import type { Companion } from '../core/pipeline/logHead.ts';

/**
 * The text of a file; undefined where there is none.
 * @throws Error for what is no regular file (a pipe that nobody writes to would be waited for without end) or cannot be read.
 */
export async function textOfFile(path: string, signal?: AbortSignal): Promise<string | undefined> {
  const about = await stat(path).catch((error: unknown) => {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  });
  if (!about) return undefined;
  if (about.isDirectory()) throw new Error('it is a folder');
  if (!about.isFile()) throw new Error('it is no regular file (a pipe or device)');
  return readFile(path, { encoding: 'utf8', ...(signal ? { signal } : {}) });
}

/** The companion header beside a log, if there is one. @throws Error, in words for the user, where it cannot be read or bears a wrong name. */
export async function companionOf(path: string, signal?: AbortSignal): Promise<Companion | undefined> {
  const file = `${path}${headerEnding}`;
  const name = basename(file);
  try {
    const text = await textOfFile(file, signal);
    if (text !== undefined) return { text, name };
  } catch (error) {
    signal?.throwIfAborted();
    throw unreadableHeader(name, error);
  }
  const other = await misnamedCompanion(path);
  if (other === undefined) return undefined;
  throw new Error(`the header of '${basename(path)}' must bear the name '${name}'; rename '${other}' beside it`);
}

/** A header beside a table that bears almost its name. A strain log needs none. */
async function misnamedCompanion(path: string): Promise<string | undefined> {
  const name = basename(path);
  if (isLogName(name)) return undefined;
  const almost = [name, parse(path).name].flatMap((stem) => ['.header.yaml', '.header.yml'].map((end) => stem + end));
  const files = await readdir(dirname(path)).catch(() => []);
  return files.find((file) => almost.some((one) => one.toLowerCase() === file.toLowerCase()));
}
