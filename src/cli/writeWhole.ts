// A file written whole or not at all: beside its place first, then renamed into it, so that a reader sees the old file
// or the new one and never a half.
import { randomBytes } from 'node:crypto';
import { realpath, rename, rm, stat, writeFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { InputError } from './command.ts';

/** Keeps the mode of a file that is there and writes through links. @throws InputError with the remedy. */
export async function writeWhole(path: string, content: string | Uint8Array): Promise<void> {
  const target = await realpath(path).catch(() => path);
  const draft = join(dirname(target), `.${basename(target)}.${randomBytes(6).toString('hex')}`);
  try {
    const there = await stat(target).catch(() => undefined);
    // A device or a pipe is written to, not replaced.
    if (there && !there.isFile()) return await writeFile(target, content);
    await writeFile(draft, content, { flag: 'wx', ...(there && { mode: there.mode }) });
    await rename(draft, target);
  } catch (error) {
    await rm(draft, { force: true }).catch(() => undefined);
    throw new InputError(`'${path}' could not be written: ${reasonOf(error)}`);
  }
}

/** Why a file could not be used, in words. */
export function reasonOf(error: unknown): string {
  const { code, message } = error as NodeJS.ErrnoException;
  if (code === 'ENOENT') return 'its folder does not exist';
  if (code === 'EISDIR') return 'it is a folder';
  if (code === 'ENOSPC') return 'the disk is full';
  const refused = code === 'EACCES' || code === 'EPERM' || code === 'EROFS';
  return refused ? 'that place is not open to you; change its permissions or name another' : message;
}
