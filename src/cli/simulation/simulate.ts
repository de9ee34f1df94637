// `underplate simulate`: writes the log of an invented build from a scenario, and what truly happened in it.
// Rows go to the file as they are made, into a draft beside the target that takes its name when it is whole.
import { createWriteStream } from 'node:fs';
import type { WriteStream } from 'node:fs';
import { basename, resolve } from 'node:path';
import { once } from 'node:events';
import { finished } from 'node:stream/promises';
import type { Writable } from 'node:stream';
import { InputError, UsageError, parseArguments } from '../command.ts';
import type { Command, ExitCode, Io } from '../command.ts';
import { draftOf } from '../draft.ts';
import type { Draft } from '../draft.ts';
import { inputText } from '../inputText.ts';
import { refuseOverwriting } from '../overwriting.ts';
import { headerText } from './headerText.ts';
import { readScenario } from './readScenario.ts';
import type { Scenario } from './scenario.ts';
import { SimulatedBuild } from './simulatedBuild.ts';
import { plainStyle, rowsText } from './tableText.ts';
import { truthText } from './truth.ts';
import { reasonOf, writeWhole } from '../writeWhole.ts';

const usage = `Usage: underplate simulate SCENARIO.yaml --output LOG [--truth TRUTH.yaml]

Writes the log of an invented build: plate, cells, fibres, parts, heat, noise, breaks and sick sensors as the scenario
says. The same scenario gives the same bytes everywhere. Its physics shares nothing with the detection.

  --output FILE   the log, by custom NAME.strain.csv ('-' for the terminal)
  --truth FILE    what truly happens, for 'underplate score LOG --truth FILE'
  --seed NUMBER   other noise and scatter than the scenario's own seed gives

Exit code: 0 written, 2 a scenario with mistakes or wrong usage.`;

const options = {
  output: { type: 'string', short: 'o' },
  truth: { type: 'string' },
  seed: { type: 'string' },
} as const;

export const simulateCommand: Command = {
  usage,
  run: simulate,
};

async function simulate(argv: readonly string[], io: Io): Promise<ExitCode> {
  const { values, positionals } = parseArguments(argv, options);
  const [name, ...more] = positionals;
  if (name === undefined || more.length > 0) throw new UsageError('name one scenario');
  if (values.output === undefined) throw new UsageError('name the log to write with --output');
  const seed = values.seed === undefined ? undefined : Number(values.seed);
  if (seed !== undefined && !(Number.isInteger(seed) && seed >= 0 && seed < 2 ** 31)) {
    throw new UsageError(`--seed needs a whole number from 0, got '${values.seed}'`);
  }
  const outputs = [
    { option: '--output', file: values.output },
    { option: '--truth', file: values.truth },
  ];
  await refuseOverwriting(outputs, [{ path: name, what: 'the scenario' }], io.cwd);
  const scenario = await scenarioFrom(name, io);
  if (scenario === undefined) return 2;
  const build = new SimulatedBuild(seed === undefined ? scenario : { ...scenario, seed });
  if (values.output === '-') await writeRows(build, io.stdout as Writable, io.signal);
  else await writeLog(build, resolve(io.cwd, values.output), io.signal);
  if (values.truth !== undefined) {
    await writeWhole(resolve(io.cwd, values.truth), truthText(build, basename(values.output)));
  }
  return 0;
}

async function scenarioFrom(name: string, io: Io): Promise<Scenario | undefined> {
  const read = readScenario(await inputText('the scenario', name, io));
  if (read.ok) return read.scenario;
  for (const { range, message } of read.problems)
    io.stderr.write(`${name}:${range.line}:${range.column}: ${message}\n`);
  return undefined;
}

async function writeLog(build: SimulatedBuild, path: string, signal: AbortSignal): Promise<void> {
  let draft: Draft | undefined;
  let stream: WriteStream | undefined;
  try {
    draft = await draftOf(path);
    stream = createWriteStream(draft.file);
    await writeRows(build, stream, signal);
    stream.end();
    await finished(stream);
    await draft.keep();
  } catch (error) {
    // Only once it is closed: a file still being opened would appear after it was removed.
    if (stream && !stream.closed) await once(stream.destroy(), 'close').catch(() => undefined);
    await draft?.drop();
    if (signal.aborted) throw new InputError('stopped before the end; nothing was written');
    throw new InputError(`'${path}' could not be written: ${reasonOf(error)}`);
  }
}

/** Waits whenever the stream is full, so that memory stays bounded whatever the length of the build. */
async function writeRows(build: SimulatedBuild, stream: Writable, signal: AbortSignal): Promise<void> {
  const block = build.block(512);
  let text = headerText(build.scenario);
  do {
    signal.throwIfAborted();
    // A stream that is no file or pipe (a test's) may answer nothing; only false asks to wait.
    if (stream.write(text) === false) await once(stream, 'drain', { signal });
    text = build.fill(block) > 0 ? rowsText(block, build.columns, plainStyle) : '';
  } while (text !== '');
}
