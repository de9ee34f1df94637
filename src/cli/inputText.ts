// The text of a small file that the command line names.
import { resolve } from 'node:path';
import { textOfFile } from '../worker/besideFile.ts';
import { InputError } from './command.ts';
import type { Io } from './command.ts';
import { reasonOf } from './writeWhole.ts';

/** `what`: the file as told, such as `the scenario`. @throws InputError for one that is not there or cannot be read. */
export async function inputText(what: string, file: string, io: Io): Promise<string> {
  const refuse = (reason: string): never => {
    io.signal.throwIfAborted();
    throw new InputError(`${what} '${file}' could not be read: ${reason}`);
  };
  const text = await textOfFile(resolve(io.cwd, file), io.signal).catch((error: unknown) => refuse(reasonOf(error)));
  return text ?? refuse('there is no such file');
}
