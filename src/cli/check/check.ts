// `underplate check`: what is wrong with logs and what happened in them, in the format asked for.
import { rank } from '../../core/problem.ts';
import { appendFile } from 'node:fs/promises';
import { analyse as analyseFile } from '../analyse.ts';
import type { Analyse } from '../analyse.ts';
import { checkLogs, closeLogs, isReadable } from '../checkLogs.ts';
import type { CheckedLog } from '../checkLogs.ts';
import { InputError, UsageError, parseArguments } from '../command.ts';
import type { Command, ExitCode, Io } from '../command.ts';
import { findLogs } from '../findLogs.ts';
import { findingsOf } from '../finding.ts';
import { formatText, inColour } from '../formatText.ts';
import { writeOutput } from '../output.ts';
import { inputsOfLog, refuseOverwriting } from '../overwriting.ts';
import { oneOf, readSettings, settingOptions, settingUsage } from '../settings.ts';
import { reasonOf } from '../writeWhole.ts';

const formats = ['text', 'json', 'sarif', 'github', 'markdown'] as const;
const levels = ['error', 'warning', 'never'] as const;

const usage = `Usage: underplate check [OPTIONS] LOG…

Tells what is wrong with each log and what happened in the build, and at which line. LOG is a file, a folder (all
*.strain.csv below it, and all tables beside which a header lies) or a pattern in quotes, as 'logs/**/*.strain.csv'. A
table that is no *.strain.csv needs its header beside it, under its whole name and an ending: that of 'plate7.csv' is
'plate7.csv.header.yaml'. An event judged false-alarm in the log's notes is shown but does not count.

  --format FORMAT     ${formats.join(', ')} (text where not given)
  --output FILE       write there instead of to the terminal
  --fail-on LEVEL     ${levels.join(', ')}: exit with 1 on a finding of that level or worse (error where not given)
  --against REF       only what is new against that git revision

${settingUsage}

Exit code: 0 no finding at or above the level, 1 findings, 2 unreadable log or wrong usage.`;

const options = {
  format: { type: 'string', default: 'text' },
  output: { type: 'string', short: 'o' },
  'fail-on': { type: 'string', default: 'error' },
  against: { type: 'string' },
  ...settingOptions,
} as const;

export const checkCommand: Command = makeCheckCommand(analyseFile);

/** The command over a given analysis; tests give their own. */
export function makeCheckCommand(analyse: Analyse): Command {
  return {
    usage,
    run: (argv, io) => check(argv, io, analyse),
  };
}

async function check(argv: readonly string[], io: Io, analyse: Analyse): Promise<ExitCode> {
  const { values, positionals } = parseArguments(argv, options);
  const format = oneOf('--format', formats, values.format);
  const failOn = oneOf('--fail-on', levels, values['fail-on']);
  const settings = readSettings(values);
  if (positionals.length === 0) throw new UsageError('name at least one log');
  const paths = await findLogs(positionals, io.cwd);
  const inputs = paths.flatMap((path) => inputsOfLog(path));
  await refuseOverwriting([{ option: '--output', file: values.output }], inputs, io.cwd);
  const jobSummary = format === 'github' ? io.env['GITHUB_STEP_SUMMARY'] : undefined;
  const pictures = format === 'markdown' || jobSummary !== undefined;
  const all = await checkLogs(paths, { settings, analyse, io, pyramid: pictures });
  try {
    const logs =
      values.against === undefined
        ? all
        : await (await import('./against.ts')).onlyNew(all, values.against, { settings, analyse, io });
    await writeOutput(await formatted(format, logs, io, values.output), values.output, io);
    if (jobSummary) await appendSummary(jobSummary, await markdown(logs, io.cwd, 'signs'));
    return exitCode(logs, failOn, io.cwd);
  } finally {
    await closeLogs(all);
  }
}

/** The findings themselves are told by now, so a summary that cannot be written is one more failure, not the only news. */
async function appendSummary(file: string, text: string): Promise<void> {
  await appendFile(file, text).catch((error: unknown) => {
    throw new InputError(`the job summary '${file}' (GITHUB_STEP_SUMMARY) could not be written: ${reasonOf(error)}`);
  });
}

async function markdown(logs: readonly CheckedLog[], cwd: string, pictures: 'signs' | 'svg'): Promise<string> {
  const { formatMarkdown } = await import('./formatMarkdown.ts');
  return formatMarkdown(logs, { cwd, pictures });
}

/** A format is loaded only when it is asked for. */
async function formatted(
  format: (typeof formats)[number],
  logs: readonly CheckedLog[],
  io: Io,
  output: string | undefined,
): Promise<string> {
  switch (format) {
    case 'json':
      return (await import('./formatJson.ts')).formatJson(logs, io.cwd);
    case 'sarif':
      return (await import('./formatSarif.ts')).formatSarif(logs, io.cwd);
    case 'github':
      return (await import('./formatGithub.ts')).formatGithub(logs, io.cwd);
    case 'markdown':
      return markdown(logs, io.cwd, 'svg');
    case 'text':
      return formatText(logs, { cwd: io.cwd, colour: output === undefined && inColour(io) });
  }
}

function exitCode(logs: readonly CheckedLog[], failOn: (typeof levels)[number], cwd: string): ExitCode {
  if (!logs.every(isReadable)) return 2;
  if (failOn === 'never') return 0;
  const least = rank({ severity: failOn });
  const counts = logs.some((log) => findingsOf(log, cwd).some((one) => !one.dismissed && rank(one) <= least));
  return counts ? 1 : 0;
}
