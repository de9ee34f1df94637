// An output on its way: written beside its place and renamed into it once it is whole, so that a reader sees the old file
// or the new one and never a half.
import { randomBytes } from 'node:crypto';
import { chmod, realpath, rename, rm, stat, writeFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';

export interface Draft {
  /** What to write to. It is there, and empty, unless it is a device or a pipe: that is written to, not replaced. */
  readonly file: string;
  /** Puts what was written into its place. */
  keep(): Promise<void>;
  /** Takes it away; what was there before stays. Never rejects. */
  drop(): Promise<void>;
}

/** Goes through links and keeps the mode of a file that is there. @throws the file system's error where nothing can be written. */
export async function draftOf(path: string): Promise<Draft> {
  const target = await realpath(path).catch(() => path);
  const there = await stat(target).catch(() => undefined);
  if (there && !there.isFile()) return { file: target, keep: () => Promise.resolve(), drop: () => Promise.resolve() };
  const file = join(dirname(target), `.${basename(target)}.${randomBytes(6).toString('hex')}`);
  const mode = there && there.mode & 0o7777;
  await writeFile(file, '', { flag: 'wx', ...(mode !== undefined && { mode: mode | 0o200 }) });
  return {
    file,
    keep: async () => {
      if (mode !== undefined) await chmod(file, mode);
      await rename(file, target);
    },
    drop: () => rm(file, { force: true }).catch(() => undefined),
  };
}
