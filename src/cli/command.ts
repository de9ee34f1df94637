// What a command of `underplate` is: it takes its arguments and an Io, writes, and answers with an exit code.
// The Io stands for the process, so that commands run in a test without one.
import { parseArgs } from 'node:util';
import type { ParseArgsConfig } from 'node:util';

/** 0: done, nothing found at or above the level asked for. 1: findings. 2: unreadable log or wrong usage. */
export type ExitCode = 0 | 1 | 2;

export interface Output {
  write(chunk: string | Uint8Array): unknown;
  readonly isTTY?: boolean | undefined;
  readonly columns?: number | undefined;
}

export interface Io {
  readonly stdout: Output;
  readonly stderr: Output;
  readonly cwd: string;
  readonly env: Readonly<Record<string, string | undefined>>;
  /** Aborted when the user asks to stop (Ctrl+C). */
  readonly signal: AbortSignal;
}

export interface Command {
  /** The whole help text, without a line break at the end. */
  readonly usage: string;
  run(argv: readonly string[], io: Io): Promise<ExitCode>;
}

/** Wrong use of the command line: told with a pointer to the help, exit code 2. */
export class UsageError extends Error {}

/** An input or output that cannot be used (missing, unreadable, not writable): told plainly, exit code 2. */
export class InputError extends Error {}

/** Why a run is aborted whose output nobody reads any more (`underplate … | head`): no failure, nothing to tell. */
export class ReaderGone extends Error {}

export type Options = NonNullable<ParseArgsConfig['options']>;

type Parsed<O extends Options> = ReturnType<typeof parseArgs<{ options: O; allowPositionals: true }>>;

/**
 * Splits arguments into options and positionals.
 * @throws UsageError for an option that is unknown, or lacks or refuses a value.
 */
export function parseArguments<const O extends Options>(
  argv: readonly string[],
  options: O,
): Pick<Parsed<O>, 'values' | 'positionals'> {
  try {
    return parseArgs({ args: [...argv], options, allowPositionals: true, strict: true });
  } catch (error) {
    if (error instanceof TypeError) throw new UsageError(error.message);
    throw error;
  }
}
