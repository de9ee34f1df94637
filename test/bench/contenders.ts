// Who is measured: our command, and general-purpose readers on the same log. One that cannot run here is told with why.
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { largeMegabytes } from './logs.ts';

export interface Contender {
  readonly name: string;
  /** What it does, for the table. */
  readonly work: string;
  /** Program and arguments; undefined where it cannot run, and why. */
  readonly command: readonly string[] | undefined;
  readonly missing?: string | undefined;
  /** Why it is left out of a log of this size unless it is asked for; undefined where it is not. */
  readonly spared?: string | undefined;
  /** Whether its standard output is JSON with rows and a mean. */
  readonly answers: boolean;
}

export const oursFolder = '.bench/ours';
const peersFolder = 'test/bench/node_modules';

/** Installs the peers where the lock file is not what is installed; where that fails, they are left out and told. */
export function installPeers(say: (message: string) => void): void {
  const lock = 'test/bench/package-lock.json';
  const installed = `${peersFolder}/.package-lock.json`;
  const { packages } = JSON.parse(readFileSync(lock, 'utf8')) as Packages;
  const have = existsSync(installed) ? (JSON.parse(readFileSync(installed, 'utf8')) as Packages).packages : {};
  const fits = Object.entries(packages).every(
    ([path, { version, optional }]) => path === '' || optional || have[path]?.version === version,
  );
  if (fits) return;
  say('installing the readers to compare with (npm ci in test/bench, once)');
  const args = ['ci', '--prefix', 'test/bench', '--no-audit', '--no-fund'];
  // What npm says goes to the standard error, so that the results stand alone on the standard output.
  const { status } = spawnSync('npm', args, { stdio: ['ignore', 2, 2], shell: process.platform === 'win32' });
  if (status !== 0) say('they could not be installed, see above; what is missing is left out');
}

interface Packages {
  readonly packages: Readonly<Record<string, { readonly version?: string; readonly optional?: boolean }>>;
}

/** Ours first: the ratios are to it. */
export function contenders(log: string, megabytes: number): Contender[] {
  const node = [process.execPath, '--import', './test/bench/peakMemory.mjs'];
  const check = ['dist/cli/main.mjs', 'check', log, '--fail-on', 'never'];
  const large = megabytes >= largeMegabytes;
  const holds = large ? 'holds the whole table in memory' : undefined;
  const slow = large ? 'takes minutes' : undefined;
  const oneThread = [...node, `${oursFolder}/bench/checkLog.mjs`, log, '1'];
  const duckdb = 'averages of tensors, extremes';
  return [
    { name: 'underplate check', work: 'read, analyse, find', command: [...node, ...check], answers: false },
    { name: 'the same, 1 thread', work: 'read, analyse, find', command: oneThread, spared: slow, answers: true },
    { name: 'wc -l', work: 'count lines', command: ['wc', '-l', log], answers: false },
    peer('@duckdb/node-api', 'DuckDB, types declared', duckdb, ['duckdb.mjs', log, 'typed']),
    peer('@duckdb/node-api', 'DuckDB, types detected', duckdb, ['duckdb.mjs', log]),
    { ...peer('nodejs-polars', 'polars', 'read, mean of all', ['polars.mjs', log]), spared: holds },
    { ...pandas(log), spared: holds },
    { ...peer('udsv', 'uDSV', 'read typed', ['udsv.mjs', log]), spared: slow },
    { ...peer('csv-parse', 'csv-parse', 'read with cast', ['csvParse.mjs', log]), spared: slow },
  ];

  function peer(packageName: string, title: string, work: string, [script, ...args]: readonly string[]): Contender {
    const manifest = `${peersFolder}/${packageName}/package.json`;
    const found = existsSync(manifest);
    const version = found ? (JSON.parse(readFileSync(manifest, 'utf8')) as { version: string }).version : '';
    return {
      name: `${title} ${version}`.trim(),
      work,
      command: found ? [...node, `test/bench/peers/${script}`, ...args] : undefined,
      missing: found ? undefined : 'not installed: npm ci --prefix test/bench',
      answers: true,
    };
  }
}

function pandas(log: string): Contender {
  const script = 'test/bench/peers/pandas_mean.py';
  for (const python of ['python3', '/usr/bin/python3']) {
    const { status, stdout } = spawnSync(python, [script, '--version'], { encoding: 'utf8' });
    if (status !== 0) continue;
    const command = [python, script, log];
    return { name: `pandas ${stdout.trim()}`, work: 'read, mean of all', command, answers: true };
  }
  const missing = 'no python3 with pandas found';
  return { name: 'pandas', work: 'read, mean of all', command: undefined, missing, answers: true };
}
