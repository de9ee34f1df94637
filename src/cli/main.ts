#!/usr/bin/env node
// The program `underplate`: gives the commands the process they run in and leaves with their exit code.
import { setFlagsFromString } from 'node:v8';
import { ReaderGone } from './command.ts';
import { runUnderplate } from './commands.ts';
import { reasonOf } from './writeWhole.ts';

// A heap whose young part grows with what is read for a moment takes some 15 MB more, and is no faster for a log that
// streams by. A loop that is compiled six times later than usual is compiled once, not again and again while the first
// cells find their form: a tenth of the time of a long log. Told only to the engine that is known to understand it:
// another would complain.
if (process.versions.v8.startsWith('11.')) {
  setFlagsFromString('--semi-space-growth-factor=1');
  setFlagsFromString('--interrupt-budget=400000');
}

const stop = new AbortController();
process.once('SIGINT', () => stop.abort(new Error('stopped by the user')));
process.once('SIGTERM', () => stop.abort(new Error('stopped by the system')));

let unwritten = false;

/** An answer that did not reach its file is no answer: exit code 2, which is none that findings give. */
function outputFailed(): void {
  unwritten = true;
  process.exitCode = 2;
}

process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  // A reader that went away (`underplate check … | head`) is no failure; of anything else it is told here and once.
  if (error.code !== 'EPIPE' && !unwritten) {
    outputFailed();
    process.stderr.write(`underplate: the output could not be written: ${reasonOf(error)}\n`);
  }
  stop.abort(new ReaderGone('the output goes nowhere any more'));
});
process.stderr.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') outputFailed();
});

// The exit code is set, not forced, so that everything written still reaches its reader.
void runUnderplate(process.argv.slice(2), {
  stdout: process.stdout,
  stderr: process.stderr,
  cwd: process.cwd(),
  env: process.env,
  signal: stop.signal,
}).then((exitCode) => {
  process.exitCode = unwritten ? 2 : exitCode;
});
