// What a command writes must be none of what it reads: else the log, its notes or the scenario would be gone.
import { realpath, stat } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import { headerEnding, notesEnding } from '../core/besideLog.ts';
import { UsageError } from './command.ts';

/** A file that a command reads. */
export interface InputFile {
  readonly path: string;
  /** As told, such as `the log itself`. */
  readonly what: string;
}

/** A file to be written; undefined and `-` stand for the terminal. */
export interface OutputFile {
  readonly option: string;
  readonly file: string | undefined;
}

/** All that is read of a log. */
export function inputsOfLog(path: string, what = 'the log itself'): InputFile[] {
  return [
    { path, what },
    { path: `${path}${headerEnding}`, what: "the log's companion header" },
    { path: `${path}${notesEnding}`, what: "the log's notes" },
  ];
}

/** Names are compared by the file they lead to, so links and other spellings are seen through. @throws UsageError */
export async function refuseOverwriting(
  outputs: readonly OutputFile[],
  inputs: readonly InputFile[],
  cwd: string,
): Promise<void> {
  const taken = new Map<string, string>();
  for (const { path, what } of inputs) taken.set(await identityOf(resolve(cwd, path)), what);
  for (const { option, file } of outputs) {
    if (file === undefined || file === '-') continue;
    const identity = await identityOf(resolve(cwd, file));
    const what = identity === '' ? undefined : taken.get(identity);
    if (what !== undefined) throw new UsageError(`${option} names ${what}; name another file`);
    taken.set(identity, `the file of ${option}`);
  }
}

/** '' for a pipe or device, which is written to and loses nothing. */
async function identityOf(path: string): Promise<string> {
  const there = await stat(path, { bigint: true }).catch(() => undefined);
  if (there) return there.isFile() ? `${there.dev}:${there.ino}` : '';
  return join(await realpath(dirname(path)).catch(() => dirname(path)), basename(path));
}
