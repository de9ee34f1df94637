// Whole-process wall time and peak memory of programs, in rounds: each runs once in every round, the first not counted.
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, rmSync } from 'node:fs';
import type { Contender } from './contenders.ts';

export interface Measured {
  readonly contender: Contender;
  /** Counted rounds, in order of size; empty where it could not run. */
  readonly wallMs: readonly number[];
  readonly peakMib: number | undefined;
  readonly rows: number | undefined;
  readonly mean: number | undefined;
  readonly failure: string;
  /** Saw other rows than the first that answered. */
  readonly disagrees: boolean;
}

interface Run {
  readonly wallMs: number;
  readonly peakMib: number | undefined;
  readonly rows: number | undefined;
  readonly mean: number | undefined;
  readonly failure: string;
}

const peakFile = '.bench/peak';
/** Sums in another order differ in the last digits. */
const sameMean = 1e-9;

export function measure(chosen: readonly Contender[], count: number, say: (text: string) => void): Measured[] {
  const runs = chosen.map((): Run[] => []);
  for (let round = 0; round <= count; round++) {
    chosen.forEach((contender, i) => {
      if (runs[i]!.some(({ failure }) => failure !== '')) return;
      const one = run(contender);
      say(`round ${round} of ${count}, ${contender.name}: ${one.failure || `${(one.wallMs / 1000).toFixed(2)} s`}`);
      if (round > 0 || one.failure !== '') runs[i]!.push(one);
    });
  }
  const truth = runs.flat().find(({ rows }) => rows !== undefined)?.rows;
  const trueMean = runs.flat().find(({ mean }) => mean !== undefined)?.mean;
  return chosen.map((contender, i) => summed(contender, runs[i]!, truth, trueMean));
}

function summed(contender: Contender, runs: readonly Run[], trueRows?: number, trueMean?: number): Measured {
  const failure = runs.find((one) => one.failure !== '')?.failure ?? '';
  const { rows, mean } = runs.at(-1) ?? {};
  const peaks = runs.flatMap(({ peakMib }) => (peakMib === undefined ? [] : [peakMib]));
  const wallMs = failure ? [] : runs.map((one) => one.wallMs).sort((a, b) => a - b);
  const otherRows = rows !== undefined && rows !== trueRows;
  const otherMean = mean !== undefined && !(Math.abs(mean - trueMean!) <= sameMean);
  const peakMib = peaks.length > 0 ? Math.max(...peaks) : undefined;
  return { contender, wallMs, peakMib, rows, mean, failure, disagrees: otherRows || otherMean };
}

function run({ command, missing, spared, answers }: Contender): Run {
  const nothing = { wallMs: NaN, peakMib: undefined, rows: undefined, mean: undefined };
  if (!command) return { ...nothing, failure: `left out: ${missing ?? spared ?? ''}` };
  rmSync(peakFile, { force: true });
  const started = performance.now();
  const env = { ...process.env, BENCH_PEAK: peakFile };
  const { status, stdout, stderr, error } = spawnSync(command[0]!, command.slice(1), { encoding: 'utf8', env });
  const wallMs = performance.now() - started;
  if (status !== 0) {
    const why = error?.message ?? /^\w*Error.*$/m.exec(stderr)?.[0] ?? `exit code ${status ?? ''}`;
    return { ...nothing, failure: `left out: ${why}` };
  }
  const peakMib = existsSync(peakFile) ? Number(readFileSync(peakFile, 'utf8')) : undefined;
  const said = answers ? (JSON.parse(stdout) as { rows: number; mean?: number }) : undefined;
  return { wallMs, peakMib, rows: said?.rows, mean: said?.mean, failure: '' };
}
