// Who is measured: our command, and general-purpose readers on the same log. One that cannot run here is told with why.
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';

export interface Contender {
  readonly name: string;
  /** What it does, for the table. */
  readonly work: string;
  /** Program and arguments; undefined where it cannot run, and why. */
  readonly command: readonly string[] | undefined;
  readonly missing?: string;
  /** Whether its standard output is JSON with rows and a mean. */
  readonly answers: boolean;
}

export const oursFolder = '.bench/ours';
const peersFolder = 'test/bench/node_modules';

/** Installs the peers where the lock file is not what is installed; what then fails shows when it runs. */
export function installPeers(): void {
  const lock = 'test/bench/package-lock.json';
  const installed = `${peersFolder}/.package-lock.json`;
  const { packages } = JSON.parse(readFileSync(lock, 'utf8')) as Packages;
  const have = existsSync(installed) ? (JSON.parse(readFileSync(installed, 'utf8')) as Packages).packages : {};
  const fits = Object.entries(packages).every(
    ([path, { version, optional }]) => path === '' || optional || have[path]?.version === version,
  );
  if (fits) return;
  const args = ['ci', '--prefix', 'test/bench', '--no-audit', '--no-fund'];
  spawnSync('npm', args, { stdio: ['ignore', 'ignore', 'inherit'], shell: process.platform === 'win32' });
}

interface Packages {
  readonly packages: Readonly<Record<string, { readonly version?: string; readonly optional?: boolean }>>;
}

/** Ours first: the ratios are to it. */
export function contenders(log: string): Contender[] {
  const node = [process.execPath, '--import', './test/bench/peakMemory.mjs'];
  const check = ['dist/cli/main.mjs', 'check', log, '--fail-on', 'never'];
  const ours: Contender[] = [
    { name: 'underplate check', work: 'read, analyse, find', command: [...node, ...check], answers: false },
    {
      name: 'the same, 1 thread',
      work: 'read, analyse, find',
      command: [...node, `${oursFolder}/bench/checkLog.mjs`, log, '1'],
      answers: true,
    },
  ];
  const lines: Contender = { name: 'wc -l', work: 'count lines', command: ['wc', '-l', log], answers: false };
  return [
    ...ours,
    lines,
    peer('@duckdb/node-api', 'DuckDB, types declared', 'averages of tensors, extremes', ['duckdb.mjs', log, 'typed']),
    peer('@duckdb/node-api', 'DuckDB, types detected', 'averages of tensors, extremes', ['duckdb.mjs', log]),
    peer('nodejs-polars', 'polars', 'read, mean of all', ['polars.mjs', log]),
    pandas(log),
    peer('udsv', 'uDSV', 'read typed', ['udsv.mjs', log]),
    peer('csv-parse', 'csv-parse', 'read with cast', ['csvParse.mjs', log]),
  ];

  function peer(packageName: string, title: string, work: string, [script, ...args]: readonly string[]): Contender {
    const manifest = `${peersFolder}/${packageName}/package.json`;
    const found = existsSync(manifest);
    const version = found ? (JSON.parse(readFileSync(manifest, 'utf8')) as { version: string }).version : '';
    return {
      name: `${title} ${version}`.trim(),
      work,
      command: found ? [...node, `test/bench/peers/${script}`, ...args] : undefined,
      missing: 'not installed: npm ci --prefix test/bench',
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
