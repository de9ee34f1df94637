// `underplate score`: how well detection did, against a known truth or against the verdicts that people left in the notes.
import { countOf } from '../../core/display/numberFormat.ts';
import type { LogHeader } from '../../core/header/logHeader.ts';
import { analyse } from '../analyse.ts';
import { checkLogs, closeLogs } from '../checkLogs.ts';
import type { CheckedLog } from '../checkLogs.ts';
import { InputError, UsageError, parseArguments } from '../command.ts';
import type { Command, ExitCode, Io } from '../command.ts';
import { problemFinding } from '../finding.ts';
import { findLogs, shownPath } from '../findLogs.ts';
import { findingLine } from '../formatText.ts';
import { inputText } from '../inputText.ts';
import { writeOutput } from '../output.ts';
import { inputsOfLog, refuseOverwriting } from '../overwriting.ts';
import { detectionOf } from './detection.ts';
import { median } from './intervals.ts';
import { readTruth } from './readTruth.ts';
import { scoreJson } from './scoreJson.ts';
import { truthScoreText, verdictScoreText } from './scoreText.ts';
import { tally } from './tally.ts';
import type { ScoredLog } from './tally.ts';
import { tallyVerdicts } from './verdicts.ts';
import type { TrueEvent } from '../simulation/truth.ts';
import { readSettings, settingOptions, settingUsage } from '../settings.ts';

const formats = ['text', 'json'] as const;

const usage = `Usage: underplate score [OPTIONS] LOG…

Tells how well detection did: recall by size, delay, false alarms per hour, place error and kinds told apart, with 95 %
confidence intervals. Judged by the truth of a simulated log where it is given, else by the verdicts in LOG.notes.yaml.

  --truth FILE        what truly happened, as 'underplate simulate --truth' writes it; once for each LOG, in their order
  --format FORMAT     ${formats.join(', ')} (text where not given)
  --output FILE       write there instead of to the terminal

${settingUsage}

Exit code: 0 scored, 2 unreadable log or wrong usage.`;

const options = {
  truth: { type: 'string', multiple: true },
  format: { type: 'string', default: 'text' },
  output: { type: 'string', short: 'o' },
  ...settingOptions,
} as const;

export const scoreCommand: Command = { usage, run: score };

async function score(argv: readonly string[], io: Io): Promise<ExitCode> {
  const { values, positionals } = parseArguments(argv, options);
  const format = formats.find((one) => one === values.format);
  if (!format) throw new UsageError(`--format knows ${formats.join(', ')}; got '${values.format}'`);
  if (positionals.length === 0) throw new UsageError('name at least one log');
  const settings = readSettings(values);
  const paths = await findLogs(positionals, io.cwd);
  const truthFiles = values.truth ?? [];
  if (truthFiles.length > 0 && truthFiles.length !== paths.length) {
    throw new UsageError(
      `${countOf(paths.length, 'log', 'logs')}, but ${countOf(truthFiles.length, '--truth file', '--truth files')}; give one for each log, or none`,
    );
  }
  const inputs = [
    ...paths.flatMap((path) => inputsOfLog(path)),
    ...truthFiles.map((path) => ({ path, what: 'the truth' })),
  ];
  await refuseOverwriting([{ option: '--output', file: values.output }], inputs, io.cwd);
  const truths = await Promise.all(truthFiles.map((file) => truthFrom(file, io)));
  const logs = await checkLogs(paths, { settings, analyse, io });
  await closeLogs(logs);
  for (const log of logs) refuseUnread(log);
  const byTruth = truths.length > 0 ? tally(logs.map((log, i) => scoredLog(log, truths[i]!))) : undefined;
  if (!byTruth) for (const log of logs) refuseBrokenNotes(log, io);
  const byVerdict = byTruth ? undefined : tallyVerdicts(logs.map(judgedLog));
  if (byVerdict && logs.every(({ notes }) => !notes.exists)) {
    throw new InputError('nothing to score by: no log has notes beside it; give --truth, or judge events first');
  }
  const text = byTruth ? truthScoreText(byTruth) : verdictScoreText(byVerdict!);
  await writeOutput(format === 'json' ? scoreJson(byTruth, byVerdict) : text, values.output, io);
  return 0;
}

async function truthFrom(file: string, io: Io): Promise<readonly TrueEvent[]> {
  const read = readTruth(await inputText('the truth', file, io));
  if (!read.ok) throw new InputError(`${file}:${read.line}:${read.column}: ${read.message}`);
  return read.events;
}

function refuseUnread(log: CheckedLog): void {
  if (log.failure !== '') throw new InputError(`${log.shown} cannot be read: ${log.failure}`);
  if (log.header) return;
  const { range, message } = log.problems.find(({ severity }) => severity === 'error') ?? log.problems[0]!;
  throw new InputError(`${log.shown}:${range.line}:${range.column}: its header stops the analysis: ${message}`);
}

/** Verdicts that cannot be read would count as not judged. What is merely odd in the notes is told. */
function refuseBrokenNotes({ notes }: CheckedLog, io: Io): void {
  const shown = shownPath(notes.path, io.cwd);
  const lines = notes.problems.map((problem) => findingLine(problemFinding(problem, shown), false));
  if (!notes.writable) throw new InputError([`the notes '${shown}' cannot be scored by`, ...lines].join('\n'));
  for (const line of lines) io.stderr.write(`${line}\n`);
}

function scoredLog(log: CheckedLog, truth: readonly TrueEvent[]): ScoredLog {
  const { startS, endS, rows } = log.analysis!.summary;
  return {
    truth,
    reports: log.events.map(({ event }) => detectionOf(event, log.header!)),
    durationS: endS - startS,
    rateHz: rows > 1 && endS > startS ? (rows - 1) / (endS - startS) : 1,
    pitchM: pitchOf(log.header!),
  };
}

function judgedLog(log: CheckedLog) {
  const { startS, endS } = log.analysis!.summary;
  return { events: log.events, notes: log.notes.notes, hours: (endS - startS) / 3600 };
}

/** Median distance from a cell to its nearest neighbour. */
function pitchOf({ cells }: LogHeader): number {
  if (cells.length < 2) return NaN;
  return median(
    cells.map((a) => Math.min(...cells.filter((b) => b !== a).map((b) => Math.hypot(a.xM - b.xM, a.yM - b.yM)))),
  );
}
