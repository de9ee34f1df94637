// A file written whole or not at all, and why one could not be used, in words.
import { writeFile } from 'node:fs/promises';
import { InputError } from './command.ts';
import { draftOf } from './draft.ts';
import type { Draft } from './draft.ts';

/** Keeps the mode of a file that is there and writes through links. @throws InputError with the remedy. */
export async function writeWhole(path: string, content: string | Uint8Array): Promise<void> {
  let draft: Draft | undefined;
  try {
    draft = await draftOf(path);
    await writeFile(draft.file, content);
    await draft.keep();
  } catch (error) {
    await draft?.drop();
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
