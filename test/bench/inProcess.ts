// Our own measurements inside a process, without the editor: opening a log, and following one that grows.
import { spawnSync } from 'node:child_process';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { build } from 'esbuild';
import { writeBigLog } from '../support/bigLog.ts';
import { oursFolder } from './contenders.ts';
import { benchFolder } from './logs.ts';

export interface Opening {
  readonly rows: number;
  readonly mean: number;
  readonly sampledMs?: number;
  readonly drawnMs?: number;
  readonly completeMs: number;
  readonly reopenMs: number;
  readonly indexBytes: number;
  readonly pyramidBytes: number;
}

/** Bundles the command and the scripts in `ours`. */
export async function buildOurs(): Promise<void> {
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

export function opening(log: string): Opening {
  return figuresOf<Opening>('openLog', [log, `${benchFolder}/index`]);
}

/** Milliseconds from appending each of 200 lines to its being judged, in order of size. */
export function tail(): number[] {
  const whole = `${benchFolder}/followed-whole.strain.csv`;
  mkdirSync(`${benchFolder}/followed`, { recursive: true });
  writeBigLog(whole, 3e6);
  const lines = readFileSync(whole, 'utf8').trimEnd().split('\n');
  writeFileSync(`${benchFolder}/followed/a.strain.csv`, `${lines.slice(0, -200).join('\n')}\n`);
  writeFileSync(`${benchFolder}/followed-lines.csv`, `${lines.slice(-200).join('\n')}\n`);
  const paths = [`${benchFolder}/followed/a.strain.csv`, `${benchFolder}/followed-lines.csv`];
  return figuresOf<{ latenciesMs: number[] }>('followLog', paths).latenciesMs.sort((a, b) => a - b);
}

function figuresOf<Figures>(script: string, args: readonly string[]): Figures {
  const { stdout, stderr, status } = spawnSync(process.execPath, [`${oursFolder}/bench/${script}.mjs`, ...args], {
    encoding: 'utf8',
  });
  if (status !== 0) throw new Error(`${script} failed:\n${stderr}`);
  return JSON.parse(stdout) as Figures;
}
