// Runs `underplate` in this process, in a folder of its own, and gives back what it wrote.
import { mkdtempSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Command, Io } from '../../src/cli/command.ts';
import { runUnderplate } from '../../src/cli/commands.ts';

export interface Ran {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

export interface RunOptions {
  readonly cwd: string;
  readonly env?: Readonly<Record<string, string>>;
  readonly terminal?: boolean;
  readonly signal?: AbortSignal;
  /** Told of everything written to the standard error as it comes. */
  readonly onError?: (text: string) => void;
}

export function run(argv: readonly string[], options: RunOptions): Promise<Ran> {
  return runIn((io) => runUnderplate(argv, io), options);
}

/** One command, made by the test. */
export function runOne(command: Command, argv: readonly string[], options: RunOptions): Promise<Ran> {
  return runIn((io) => command.run(argv, io), options);
}

async function runIn(start: (io: Io) => Promise<number>, options: RunOptions): Promise<Ran> {
  const [out, err] = [gatherer(options.terminal), gatherer(options.terminal, options.onError)];
  const code = await start({
    stdout: out,
    stderr: err,
    cwd: options.cwd,
    env: options.env ?? {},
    signal: options.signal ?? new AbortController().signal,
  });
  return { code, out: out.text(), err: err.text() };
}

function gatherer(
  isTTY = false,
  onWrite?: (text: string) => void,
): { write(chunk: string | Uint8Array): boolean; isTTY: boolean; text(): string } {
  const chunks: Buffer[] = [];
  return {
    isTTY,
    write: (chunk) => {
      onWrite?.(chunk.toString());
      return chunks.push(Buffer.from(chunk)) > 0;
    },
    text: () => Buffer.concat(chunks).toString('utf8'),
  };
}

/** A folder with the files given, removed after the test suite it is made in. */
export function folderWith(files: Readonly<Record<string, string>>): string {
  const folder = realpathSync(mkdtempSync(join(tmpdir(), 'underplate-test-')));
  for (const [name, text] of Object.entries(files)) writeFileSync(join(folder, name), text);
  return folder;
}

export function removeFolder(folder: string): void {
  rmSync(folder, { recursive: true, force: true });
}
