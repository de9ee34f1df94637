// `npm run bench [-- options]`, see options.ts: the command and general-purpose readers on the same invented logs, in one
// run, one after the other in every round, so that a busy machine is unfair to all alike.
// Out: tables of ratios (ours = 1) and peak memory. Whole-process wall times are medians of the rounds after a warm-up.
// Nothing is asserted about speed; that all saw the same rows is checked. `--save` writes test/bench/results.md.
import { statSync, writeFileSync } from 'node:fs';
import { loadavg } from 'node:os';
import { contenders, installPeers } from './contenders.ts';
import type { Contender } from './contenders.ts';
import { buildOurs, opening, tail } from './inProcess.ts';
import { benchLog, dropLargeLog, largeMegabytes } from './logs.ts';
import { measure } from './measure.ts';
import { optionsOrExit, refuse } from './options.ts';
import { disagreeing, resultsText } from './resultsText.ts';
import type { LogResults } from './resultsText.ts';

const results = 'test/bench/results.md';
const options = optionsOrExit(process.argv.slice(2));
checkNames();
say('building the command');
await buildOurs();
installPeers(say);
const measured = options.megabytes.map((megabytes) => measureLog(megabytes));
say('following a log that grows');
const text = resultsText(measured, tail());
console.log(text);
if (options.save) {
  writeFileSync(results, text);
  say(`written to ${results}`);
}
if (measured.some((log) => disagreeing(log).length > 0)) process.exitCode = 1;

function measureLog(megabytes: number): LogResults {
  const path = benchLog(megabytes, say);
  try {
    const logBytes = statSync(path).size;
    const runs = megabytes >= largeMegabytes ? 1 : options.runs;
    const loadBefore = loadavg()[0]!;
    const all = measure(chosen(contenders(path, megabytes)), runs, say);
    say(`opening ${path}`);
    return { logBytes, runs, loadBefore, loadAfter: loadavg()[0]!, measured: all, opening: opening(path) };
  } finally {
    dropLargeLog(megabytes);
  }
}

/** Ours is always among them: the ratios are to it. One that is named runs even where it would be spared. */
function chosen(all: readonly Contender[]): Contender[] {
  if (options.only.length === 0) return all.map((one) => (one.spared ? { ...one, command: undefined } : one));
  return all.filter((one, i) => i === 0 || isNamed(one));
}

function isNamed({ name }: Contender): boolean {
  return options.only.some((part) => name.toLowerCase().includes(part));
}

/** Before anything takes long. */
function checkNames(): void {
  const names = contenders('', 0).map(({ name }) => name);
  for (const part of options.only) {
    if (names.some((name) => name.toLowerCase().includes(part))) continue;
    refuse(`--only: nothing is named '${part}'; there are: ${names.join('; ')}`);
  }
}

function say(message: string): void {
  process.stderr.write(`bench: ${message}\n`);
}
