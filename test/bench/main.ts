// `npm run bench [-- --log 30|300] [--large] [--runs N] [--only NAME] [--save]`: the command and general-purpose readers on
// the same invented log, in one run, one after the other in every round, so that a busy machine is unfair to all alike.
// Out: a table of ratios (ours = 1) and peak memory. Whole-process wall times are medians of the rounds after a warm-up.
// Nothing is asserted about speed; that all saw the same rows is checked. `--save` writes test/bench/results.md.
import { spawnSync } from 'node:child_process';
import { closeSync, existsSync, mkdirSync, openSync, readFileSync, readSync, statSync, writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { build } from 'esbuild';
import { bigLogHeader, bigLogShape, writeBigLog } from '../support/bigLog.ts';
import { contenders, installPeers, oursFolder } from './contenders.ts';
import { measure } from './measure.ts';
import type { Measured } from './measure.ts';
import { resultsText } from './resultsText.ts';
import type { Results } from './resultsText.ts';

const folder = '.bench';

const { values } = parseArgs({
  options: {
    log: { type: 'string', default: '300' },
    large: { type: 'boolean', default: false },
    runs: { type: 'string', default: '5' },
    only: { type: 'string' },
    save: { type: 'boolean', default: false },
  },
});

mkdirSync(folder, { recursive: true });
const log = bigLog(values.large ? 3000 : Number(values.log));
await buildOurs();
installPeers();
const results: Results = {
  logBytes: statSync(log).size,
  runs: Number(values.runs),
  measured: rounds(log, Number(values.runs)),
  opening: figuresOf('openLog', [log, `${folder}/index`]),
  tail: tail(),
};
const text = resultsText(results);
console.log(text);
if (values.save) writeFileSync('test/bench/results.md', text);
if (results.measured.some(({ disagrees }) => disagrees)) process.exitCode = 1;

/** Path of a log of so many megabytes; an earlier one is used again where its size and header are what we would write. */
function bigLog(megabytes: number): string {
  const path = `${folder}/log${megabytes}.strain.csv`;
  const bytes = megabytes * 1e6;
  const header = bigLogHeader(bigLogShape);
  const size = existsSync(path) ? statSync(path).size : 0;
  if (size >= bytes && size < bytes + 1e6 && readHead(path, header.length) === header) return path;
  say(`writing ${path}`);
  writeBigLog(path, bytes);
  return path;
}

function readHead(path: string, length: number): string {
  const bytes = Buffer.alloc(length);
  const file = openSync(path, 'r');
  const read = readSync(file, bytes);
  closeSync(file);
  return bytes.toString('utf8', 0, read);
}

async function buildOurs(): Promise<void> {
  say('building the command');
  if (spawnSync(process.execPath, ['build.mjs', 'build'], { stdio: ['ignore', 'ignore', 'inherit'] }).status !== 0) {
    throw new Error('the build failed; see above');
  }
  await build({
    entryPoints: {
      'bench/checkLog': 'test/bench/ours/checkLog.ts',
      'bench/openLog': 'test/bench/ours/openLog.ts',
      'bench/followLog': 'test/bench/ours/followLog.ts',
      'worker/scanThread': 'src/worker/scanThread.ts',
    },
    outdir: oursFolder,
    outExtension: { '.js': '.mjs' },
    chunkNames: 'chunks/[name]-[hash]',
    platform: 'node',
    format: 'esm',
    target: 'node20',
    bundle: true,
    splitting: true,
    minify: true,
    logLevel: 'warning',
    banner: {
      js: "import { createRequire as requireFrom } from 'node:module'; const require = requireFrom(import.meta.url);",
    },
  });
}

/** One uncounted round, then the counted ones. */
function rounds(path: string, count: number): Measured[] {
  const all = contenders(path);
  const chosen = all.filter(({ name }, i) => i === 0 || !values.only || name.includes(values.only));
  return measure(chosen, count, say);
}

/** JSON of one of our own in-process measurements. */
function figuresOf<Figures>(script: string, args: readonly string[]): Figures {
  say(script);
  const { stdout, stderr, status } = spawnSync(process.execPath, [`${oursFolder}/bench/${script}.mjs`, ...args], {
    encoding: 'utf8',
  });
  if (status !== 0) throw new Error(`${script} failed:\n${stderr}`);
  return JSON.parse(stdout) as Figures;
}

/** Milliseconds from appending each of 200 lines to its being judged, in order of size. */
function tail(): number[] {
  const whole = `${folder}/followed-whole.strain.csv`;
  mkdirSync(`${folder}/followed`, { recursive: true });
  writeBigLog(whole, 3e6);
  const lines = readFileSync(whole, 'utf8').trimEnd().split('\n');
  writeFileSync(`${folder}/followed/a.strain.csv`, `${lines.slice(0, -200).join('\n')}\n`);
  writeFileSync(`${folder}/followed-lines.csv`, `${lines.slice(-200).join('\n')}\n`);
  const paths = [`${folder}/followed/a.strain.csv`, `${folder}/followed-lines.csv`];
  return figuresOf<{ latenciesMs: number[] }>('followLog', paths).latenciesMs.sort((a, b) => a - b);
}

function say(message: string): void {
  process.stderr.write(`bench: ${message}\n`);
}
