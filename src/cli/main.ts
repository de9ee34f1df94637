#!/usr/bin/env node
// The program `underplate`: gives the commands the process they run in and leaves with their exit code.
import { runUnderplate } from './commands.ts';

const stop = new AbortController();
process.once('SIGINT', () => stop.abort(new Error('stopped by the user')));
process.once('SIGTERM', () => stop.abort(new Error('stopped by the system')));

// A reader that went away (`underplate check … | head`) is no failure.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
  stop.abort(error);
});

// The exit code is set, not forced, so that everything written still reaches its reader.
void runUnderplate(process.argv.slice(2), {
  stdout: process.stdout,
  stderr: process.stderr,
  cwd: process.cwd(),
  env: process.env,
  signal: stop.signal,
}).then((exitCode) => {
  process.exitCode = exitCode;
});
