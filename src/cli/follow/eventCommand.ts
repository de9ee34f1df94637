// The user's command that is run for an event: told of it in its environment and on its standard input, never in its
// command line, so that a log's words cannot become commands; and ended in time with all that it started, so that none
// keeps the next event from being told.
import { spawn } from 'node:child_process';
import type { ChildProcess } from 'node:child_process';
import { wordsOf } from '../../core/problem.ts';
import type { Io } from '../command.ts';

export interface EventCommand {
  /** For a shell. */
  readonly command: string;
  /** Added to the environment. */
  readonly variables: Readonly<Record<string, string>>;
  /** For the standard input. */
  readonly input: string;
}

export interface CommandLimits {
  /** A command that takes longer is stopped. */
  readonly longestMs: number;
  /** So long it may tidy up then, before it is killed. */
  readonly graceMs: number;
}

const usualLimits: CommandLimits = { longestMs: 60_000, graceMs: 2000 };
/** There a group of processes cannot be sent a signal, and a detached one would open a window. */
const onWindows = process.platform === 'win32';

/** Answers with why the command failed, '' where it did not. Never rejects. */
export async function runEventCommand(what: EventCommand, io: Io, limits = usualLimits): Promise<string> {
  if (io.signal.aborted) return 'not run, since following was ended';
  try {
    return await outcomeOf(start(what, io), io, limits);
  } catch (error) {
    return wordsOf(error);
  }
}

function start({ command, variables, input }: EventCommand, io: Io): ChildProcess {
  // An environment cannot hold a NUL; it is shown as the terminal shows it.
  const told = Object.entries(variables).map(([name, value]) => [name, value.replaceAll('\0', '\\x00')] as const);
  const child = spawn(command, {
    shell: true,
    cwd: io.cwd,
    detached: !onWindows,
    stdio: ['pipe', 'pipe', 'pipe'],
    env: { ...io.env, ...Object.fromEntries(told) },
  });
  child.stdout.on('data', (chunk: Buffer) => io.stdout.write(chunk));
  child.stderr.on('data', (chunk: Buffer) => io.stderr.write(chunk));
  // A command that does not read its input closes the pipe: no fault.
  child.stdin.on('error', () => undefined);
  child.stdin.end(input);
  return child;
}

/** Waits for the command and for all that holds its output: what it left in the background, too. */
async function outcomeOf(child: ChildProcess, io: Io, { longestMs, graceMs }: CommandLimits): Promise<string> {
  const timers: NodeJS.Timeout[] = [];
  let stopped = '';
  let giveUp: () => void = () => undefined;
  const stop = (why: string): void => {
    if (stopped !== '') return;
    stopped = why;
    endAll(child, 'SIGTERM');
    timers.push(setTimeout(giveUp, graceMs));
  };
  const end = (): void => stop('stopped, since following was ended');
  timers.push(setTimeout(() => stop(`stopped after ${longestMs / 1000} s, with all that it started`), longestMs));
  io.signal.addEventListener('abort', end, { once: true });
  try {
    return await new Promise<string>((resolve) => {
      giveUp = () => {
        endAll(child, 'SIGKILL');
        // What left the group may hold the pipes for ever.
        for (const pipe of child.stdio) pipe?.destroy();
        resolve(stopped);
      };
      child.on('error', (error) => resolve(error.message));
      child.on('close', (code, signal) => {
        const failure = code === 0 ? '' : signal ? `stopped by ${signal}` : `exit code ${code ?? ''}`;
        resolve(stopped || failure);
      });
    });
  } finally {
    for (const timer of timers) clearTimeout(timer);
    io.signal.removeEventListener('abort', end);
  }
}

/** The command and what it started. */
function endAll({ pid }: ChildProcess, signal: 'SIGTERM' | 'SIGKILL'): void {
  if (pid === undefined) return;
  if (onWindows) {
    spawn('taskkill', ['/pid', String(pid), '/t', '/f'], { stdio: 'ignore' }).on('error', () => undefined);
    return;
  }
  try {
    process.kill(-pid, signal);
  } catch {
    // All of it has ended already.
  }
}
