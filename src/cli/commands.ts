// All commands of `underplate`: finds the one asked for, runs it, and turns what it throws into a sentence and exit code 2.
import { checkCommand } from './check.ts';
import { InputError, UsageError } from './command.ts';
import type { Command, ExitCode, Io } from './command.ts';
import { compareCommand } from './compare.ts';
import { deriveCommand } from './derive.ts';
import { followCommand } from './follow.ts';
import { reportCommand } from './report.ts';
import { scoreCommand } from './score.ts';
import { simulateCommand } from './simulate.ts';
import { version } from './version.ts';

const commands: readonly Command[] = [
  checkCommand,
  compareCommand,
  deriveCommand,
  followCommand,
  reportCommand,
  scoreCommand,
  simulateCommand,
];

/** Runs `underplate` with its arguments (program name left out). */
export async function runUnderplate(argv: readonly string[], io: Io): Promise<ExitCode> {
  const [name = '--help', ...rest] = argv;
  if (['--help', '-h', 'help'].includes(name)) return showHelp(rest[0], argv.length === 0, io);
  if (['--version', '-V'].includes(name)) {
    io.stdout.write(`underplate ${version}\n`);
    return 0;
  }
  const command = commands.find((one) => one.name === name);
  if (!command) {
    io.stderr.write(`underplate: no command '${name}'. Run 'underplate --help' for the list.\n`);
    return 2;
  }
  if (rest.includes('--help') || rest.includes('-h')) return showHelp(name, false, io);
  return runCommand(command, rest, io);
}

async function runCommand(command: Command, argv: readonly string[], io: Io): Promise<ExitCode> {
  try {
    return await command.run(argv, io);
  } catch (error) {
    if (error instanceof UsageError) {
      io.stderr.write(
        `underplate ${command.name}: ${error.message}\nRun 'underplate ${command.name} --help' for its options.\n`,
      );
    } else if (error instanceof InputError || io.signal.aborted) {
      io.stderr.write(`underplate ${command.name}: ${(error as Error).message}\n`);
    } else {
      const told = error instanceof Error ? (error.stack ?? error.message) : String(error);
      io.stderr.write(`underplate ${command.name}: something unforeseen went wrong; please report it.\n${told}\n`);
    }
    return 2;
  }
}

/** Help asked for goes to stdout with exit code 0; help for want of a command goes to stderr with 2. */
function showHelp(name: string | undefined, unasked: boolean, io: Io): ExitCode {
  const command = commands.find((one) => one.name === name);
  if (name !== undefined && !command) {
    io.stderr.write(`underplate: no command '${name}'. Run 'underplate --help' for the list.\n`);
    return 2;
  }
  (unasked ? io.stderr : io.stdout).write(`${command?.usage ?? overview()}\n`);
  return unasked ? 2 : 0;
}

function overview(): string {
  const width = Math.max(...commands.map(({ name }) => name.length));
  const list = commands.map(({ name, summary }) => `  ${name.padEnd(width)}  ${summary}`);
  return `underplate ${version}: what is wrong with a plate strain log, what happened in the build, and at which line.
It advises; it is no safety interlock.

Usage: underplate COMMAND [OPTIONS] LOG…

Commands:
${list.join('\n')}

'underplate COMMAND --help' tells each one's options. Exit code: 0 nothing found, 1 findings, 2 unreadable log or
wrong usage.`;
}
