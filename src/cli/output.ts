// Where a command's result goes: the terminal, or a file.
import { resolve } from 'node:path';
import type { Io } from './command.ts';
import { writeWhole } from './writeWhole.ts';

/** `file` undefined or `-` means stdout. @throws InputError where the file cannot be written. */
export async function writeOutput(content: string | Uint8Array, file: string | undefined, io: Io): Promise<void> {
  if (file === undefined || file === '-') io.stdout.write(content);
  else await writeWhole(resolve(io.cwd, file), content);
}
