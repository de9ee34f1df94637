// The measurements as Markdown, with the machine they were made on.
import { availableParallelism, cpus, loadavg, release, totalmem } from 'node:os';
import type { Measured } from './measure.ts';

export interface Results {
  readonly logBytes: number;
  readonly runs: number;
  readonly measured: readonly Measured[];
  readonly opening: Opening;
  /** Milliseconds from appended to judged, in order of size. */
  readonly tail: readonly number[];
}

export interface Opening {
  readonly rows: number;
  readonly mean: number;
  readonly sampledMs?: number;
  readonly exactMs: number;
  readonly reopenMs: number;
}

export function resultsText({ logBytes, runs, measured, opening, tail }: Results): string {
  const ours = at(measured[0]!.wallMs, 0.5);
  const means = measured.flatMap(({ mean }) => (mean === undefined ? [] : [mean]));
  const apart = Math.max(0, ...means.map((mean) => Math.abs(mean - opening.mean)));
  const odd = measured.filter(({ disagrees, rows }) => disagrees || (rows ?? opening.rows) !== opening.rows);
  const agreement = odd.length
    ? `**Not the same rows or mean: ${odd.map(({ contender }) => contender.name).join(', ')}.**`
    : `All that answer saw ${opening.rows} rows; the mean of one column agrees within ${apart.toExponential(0)}.`;
  const load = loadavg().map((value) => value.toFixed(1));
  return [
    '# Reading and analysing a large log',
    '',
    `${(logBytes / 1e6).toFixed(0)} MB, ${opening.rows} rows. Whole process, median of ${runs} rounds (least to greatest)`,
    'after a warm-up, all in every round; page cache warm. Times are of this machine: read the ratios.',
    '',
    '| | what it does | wall s | MB/s | times ours | peak MiB |',
    '| --- | --- | --- | --- | --- | --- |',
    ...measured.map((one) => row(one, logBytes, ours)),
    '',
    agreement,
    '',
    '| in process | ms |',
    '| --- | --- |',
    `| opened to sampled rows | ${opening.sampledMs?.toFixed(0) ?? 'none: log too small'} |`,
    `| opened to exact, with display pyramid | ${opening.exactMs.toFixed(0)} |`,
    `| opened again from the index | ${opening.reopenMs.toFixed(0)} |`,
    `| appended line to judged, ${tail.length} lines, p50 | ${at(tail, 0.5).toFixed(2)} |`,
    `| the same, p95 | ${at(tail, 0.95).toFixed(2)} |`,
    '',
    `${new Date().toISOString().slice(0, 10)}; ${availableParallelism()} cores, ${cpus()[0]?.model ?? 'unknown CPU'},`,
    `${(totalmem() / 2 ** 30).toFixed(0)} GiB; ${process.platform} ${release()}; Node ${process.versions.node}; load`,
    `averages of 1, 5 and 15 minutes at the end: ${load.join(', ')}.`,
    '',
  ].join('\n');
}

function row({ contender, wallMs, peakMib, failure }: Measured, bytes: number, oursMs: number): string {
  if (failure !== '') return `| ${contender.name} | ${contender.work} | ${failure} | | | |`;
  const ms = at(wallMs, 0.5);
  const range = `${seconds(ms)} (${seconds(wallMs[0]!)} to ${seconds(wallMs.at(-1)!)})`;
  const figures = [range, (bytes / 1e3 / ms).toFixed(0), (ms / oursMs).toFixed(2), peakMib?.toFixed(0) ?? '-'];
  return `| ${contender.name} | ${contender.work} | ${figures.join(' | ')} |`;
}

function seconds(ms: number): string {
  return (ms / 1000).toFixed(2);
}

function at(sorted: readonly number[], share: number): number {
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? NaN;
}
