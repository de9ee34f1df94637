// All commands of `underplate`: finds the one asked for, runs it, and turns what it throws into a sentence and exit code 2.
import { InputError, ReaderGone, UsageError } from './command.ts';
import type { Command, ExitCode, Io } from './command.ts';
import { withoutControls } from './terminalText.ts';
import { version } from './version.ts';

interface ListedCommand {
  readonly name: string;
  /** One line for the list of commands. */
  readonly summary: string;
  /** Only the command asked for is loaded. */
  load(): Promise<Command>;
}

const commands: readonly ListedCommand[] = [
  {
    name: 'check',
    summary: 'what is wrong with logs and what happened in them',
    load: async () => (await import('./check/check.ts')).checkCommand,
  },
  {
    name: 'compare',
    summary: 'a build against good ones: which cells and layers lie outside',
    load: async () => (await import('./compare/compare.ts')).compareCommand,
  },
  {
    name: 'derive',
    summary: 'strains, stresses and moments of every row, to CSV or Parquet',
    load: async () => (await import('./derive/derive.ts')).deriveCommand,
  },
  {
    name: 'follow',
    summary: 'a log being written: tells each event when it becomes known',
    load: async () => (await import('./follow/follow.ts')).followCommand,
  },
  {
    name: 'report',
    summary: "a build's record as one page to keep or print",
    load: async () => (await import('./report/report.ts')).reportCommand,
  },
  {
    name: 'score',
    summary: 'how well detection did, against truth or verdicts',
    load: async () => (await import('./scoring/score.ts')).scoreCommand,
  },
  {
    name: 'simulate',
    summary: 'the log of an invented build, with known truth',
    load: async () => (await import('./simulation/simulate.ts')).simulateCommand,
  },
];

/** Runs `underplate` with its arguments (program name left out). */
export async function runUnderplate(argv: readonly string[], io: Io): Promise<ExitCode> {
  const [name = '--help', ...rest] = argv;
  if (['--help', '-h', 'help'].includes(name)) return showHelp(rest[0], argv.length === 0, io);
  if (['--version', '-V'].includes(name)) {
    io.stdout.write(`underplate ${version}\n`);
    return 0;
  }
  const listed = commands.find((one) => one.name === name);
  if (!listed) {
    io.stderr.write(`underplate: no command '${name}'. Run 'underplate --help' for the list.\n`);
    return 2;
  }
  if (rest.includes('--help') || rest.includes('-h')) return showHelp(name, false, io);
  return runCommand(listed, rest, io);
}

async function runCommand(listed: ListedCommand, argv: readonly string[], io: Io): Promise<ExitCode> {
  try {
    const command = await listed.load();
    return await command.run(argv, io);
  } catch (error) {
    if (io.signal.reason instanceof ReaderGone) return 0;
    if (error instanceof UsageError) {
      io.stderr.write(
        `underplate ${listed.name}: ${error.message}\nRun 'underplate ${listed.name} --help' for its options.\n`,
      );
    } else if (error instanceof InputError || io.signal.aborted) {
      const aborted = error instanceof Error && error.name === 'AbortError';
      const told = (aborted ? io.signal.reason : error) as Error;
      io.stderr.write(`underplate ${listed.name}: ${withoutControls(told.message)}\n`);
    } else {
      const told = error instanceof Error ? (error.stack ?? error.message) : String(error);
      io.stderr.write(`underplate ${listed.name}: something unforeseen went wrong; please report it.\n${told}\n`);
    }
    return 2;
  }
}

/** Help asked for goes to stdout with exit code 0; help for want of a command goes to stderr with 2. */
async function showHelp(name: string | undefined, unasked: boolean, io: Io): Promise<ExitCode> {
  const listed = commands.find((one) => one.name === name);
  if (name !== undefined && !listed) {
    io.stderr.write(`underplate: no command '${name}'. Run 'underplate --help' for the list.\n`);
    return 2;
  }
  (unasked ? io.stderr : io.stdout).write(`${(await listed?.load())?.usage ?? overview()}\n`);
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

'underplate COMMAND --help' tells each one's options. Exit code: 0 done; 1 findings at or above the level
asked for ('check' and 'compare' only); 2 unreadable log or wrong usage.`;
}
