// The measurements as Markdown, with the machine they were made on.
import { availableParallelism, cpus, release, totalmem } from 'node:os';
import type { Opening } from './inProcess.ts';
import type { Measured } from './measure.ts';

export interface LogResults {
  readonly logBytes: number;
  /** Counted rounds. */
  readonly runs: number;
  /** Of the last minute. */
  readonly loadBefore: number;
  readonly loadAfter: number;
  /** Ours first. */
  readonly measured: readonly Measured[];
  readonly opening: Opening;
}

/** `tail`: milliseconds from appended to judged, in order of size. */
export function resultsText(logs: readonly LogResults[], tail: readonly number[]): string {
  return [
    '# Reading and analysing large logs',
    '',
    `${new Date().toISOString().slice(0, 10)}; ${availableParallelism()} cores, ${cpus()[0]?.model.trim() ?? 'unknown CPU'},`,
    `${(totalmem() / 2 ** 30).toFixed(0)} GiB; ${process.platform} ${release()}; Node ${process.versions.node}. Whole process, median after a`,
    'warm-up (least to greatest), all in every round; page cache warm. Times are of this machine: read the ratios.',
    ...logs.flatMap((log) => logText(log)),
    ...(logs.length > 1 ? ['', '## From size to size', '', ...growthText(logs)] : []),
    '',
    '## Following a log that grows',
    '',
    `${tail.length} lines, one by one: appended to judged ${at(tail, 0.5).toFixed(2)} ms (median), ${at(tail, 0.95).toFixed(2)} ms (95th percentile).`,
    '',
  ].join('\n');
}

/** Those that saw other rows, or another mean, than the log has. */
export function disagreeing({ measured, opening }: LogResults): readonly Measured[] {
  return measured.filter(({ disagrees, rows }) => disagrees || (rows ?? opening.rows) !== opening.rows);
}

function logText(log: LogResults): string[] {
  const { logBytes, runs, measured, opening } = log;
  const ours = at(measured[0]!.wallMs, 0.5);
  const means = measured.flatMap(({ mean }) => (mean === undefined ? [] : [mean]));
  const apart = Math.max(0, ...means.map((mean) => Math.abs(mean - opening.mean)));
  const odd = disagreeing(log);
  const agreement = odd.length
    ? `**Not the same rows or mean: ${odd.map(({ contender }) => contender.name).join(', ')}.**`
    : `All that answer saw ${opening.rows} rows; the mean of one column agrees within ${apart.toExponential(0)}.`;
  const share = (bytes: number): string => `${(bytes / logBytes).toFixed(3)} byte a log byte`;
  return [
    '',
    `## ${megabytes(log)} MB, ${opening.rows} rows`,
    '',
    `${runs} ${runs === 1 ? 'round' : 'rounds'}; load of the machine ${log.loadBefore.toFixed(1)} before, ${log.loadAfter.toFixed(1)} after.`,
    '',
    '| | what it does | wall s | MB/s | times ours | peak MiB |',
    '| --- | --- | --- | --- | --- | --- |',
    ...measured.map((one) => row(one, logBytes, ours)),
    '',
    agreement,
    '',
    '| opening it, in process, without the editor | ms |',
    '| --- | --- |',
    `| sampled rows | ${opening.sampledMs?.toFixed(0) ?? 'none: log too small'} |`,
    `| exact, with display pyramid (${share(opening.pyramidBytes)}) | ${(opening.drawnMs ?? opening.completeMs).toFixed(0)} |`,
    `| all found | ${opening.completeMs.toFixed(0)} |`,
    `| again, from the index (${share(opening.indexBytes)}) | ${opening.reopenMs.toFixed(0)} |`,
  ];
}

function row({ contender, wallMs, peakMib, failure }: Measured, bytes: number, oursMs: number): string {
  if (failure !== '') return `| ${contender.name} | ${contender.work} | ${failure} | | | |`;
  const ms = at(wallMs, 0.5);
  const range = `${seconds(ms)} (${seconds(wallMs[0]!)} to ${seconds(wallMs.at(-1)!)})`;
  const figures = [range, (bytes / 1e3 / ms).toFixed(0), (ms / oursMs).toFixed(2), peakMib?.toFixed(0) ?? '-'];
  return `| ${contender.name} | ${contender.work} | ${figures.join(' | ')} |`;
}

/** How ours goes with the size of the log. */
function growthText(logs: readonly LogResults[]): string[] {
  return logs.slice(1).map((log, i) => {
    const before = logs[i]!;
    const rate = (one: LogResults): number => one.logBytes / at(one.measured[0]!.wallMs, 0.5);
    const peak = (one: LogResults): number => one.measured[0]!.peakMib ?? NaN;
    const slope = ((peak(log) - peak(before)) * 2 ** 20) / (log.logBytes - before.logBytes);
    return (
      `- ${megabytes(before)} to ${megabytes(log)} MB: ${(rate(log) / rate(before)).toFixed(2)} times the MB/s, ` +
      `${slope.toFixed(3)} byte more of peak memory a log byte.`
    );
  });
}

function megabytes({ logBytes }: LogResults): string {
  return (logBytes / 1e6).toFixed(0);
}

function seconds(ms: number): string {
  return (ms / 1000).toFixed(2);
}

/** Between two of the figures, as much of each as the place lies near to. */
function at(sorted: readonly number[], share: number): number {
  const place = share * (sorted.length - 1);
  const low = sorted[Math.floor(place)] ?? NaN;
  const high = sorted[Math.ceil(place)] ?? NaN;
  return low + (high - low) * (place - Math.floor(place));
}
