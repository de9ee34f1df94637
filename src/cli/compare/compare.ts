// `underplate compare`: one build against good ones, layer by layer: where it lies outside their band, and how far.
import { compareBuilds } from '../../core/compare/compareBuilds.ts';
import type { ProfiledBuild } from '../../core/compare/compareBuilds.ts';
import type { Alignment } from '../../core/compare/layerProfile.ts';
import { shortestRun } from '../../core/compare/excursions.ts';
import { robustFrom } from '../../core/compare/referenceBand.ts';
import { microstrain } from '../../core/display/units.ts';
import { UsageError, parseArguments } from '../command.ts';
import type { Command, ExitCode, Io } from '../command.ts';
import { findLogs, findOneLog, shownPath } from '../findLogs.ts';
import { comparisonJson, comparisonMarkdown, comparisonText } from './formatComparison.ts';
import type { ComparedLog } from './formatComparison.ts';
import { writeOutput } from '../output.ts';
import { inputsOfLog, refuseOverwriting } from '../overwriting.ts';
import { Progress } from '../progress.ts';
import { asInputError, readProfile } from './readProfile.ts';
import type { ProfiledLog } from './readProfile.ts';
import { oneOf, readSettings, settingOptions } from '../settings.ts';

const formats = ['text', 'json', 'markdown'] as const;
const alignments = ['layer', 'time'] as const;
const failures = ['outside', 'never'] as const;

const usage = `Usage: underplate compare [OPTIONS] LOG --with LOG…

Lays a build over good ones and tells in which layers which cells lie outside their band, and how far, in half-widths of
the band. The band is where one more good build would lie (a prediction interval from the builds' median strain of each
layer); the fewer builds, the wider. From ${robustFrom} builds on, one bad one among them does no harm. What lies outside for
${shortestRun} layers (or stretches of time) on end is told, with up to two inside in between: one or two are what chance does.

  --with LOG…         the good builds; files, folders or patterns, two at least
  --by layer|time     what builds are lined up by (layer where not given)
  --stretch SECONDS   length of a stretch of time with --by time (60 where not given)
  --coverage PERCENT  share of good builds the band is to hold (95 where not given)
  --format FORMAT     ${formats.join(', ')} (text where not given)
  --output FILE       write there instead of to the terminal
  --fail-on WHAT      outside: exit with 1 where anything told lies outside (default); never
  --smallest-jump STRAIN  differences below this, in ${microstrain.unit}, are not told
  --datum FROM:TO     window called zero, in seconds, for all logs
  --all-channels      use every channel as it is. Where not given, every log is searched for sick channels first, which
                      are left out of their cells' tensors as by 'derive'; the cautions say which

Exit code: 0 nothing outside so long, 1 something outside, 2 unreadable log or wrong usage.`;

const options = {
  by: { type: 'string', default: 'layer' },
  stretch: { type: 'string', default: '60' },
  coverage: { type: 'string', default: '95' },
  format: { type: 'string', default: 'text' },
  output: { type: 'string', short: 'o' },
  'fail-on': { type: 'string', default: 'outside' },
  'smallest-jump': settingOptions['smallest-jump'],
  datum: settingOptions.datum,
  'all-channels': { type: 'boolean', default: false },
} as const;

export const compareCommand: Command = {
  usage,
  run: compare,
};

async function compare(argv: readonly string[], io: Io): Promise<ExitCode> {
  const { values, positionals, goodNames } = readArguments(argv);
  const format = oneOf('--format', formats, values.format);
  const failOn = oneOf('--fail-on', failures, values['fail-on']);
  const coverage = numberIn('--coverage', values.coverage, 50, 99.99) / 100;
  const alignment = alignmentOf(oneOf('--by', alignments, values.by), values.stretch);
  const settings = readSettings(values);
  const believeAll = values['all-channels'];
  const { path } = await findOneLog(positionals, io.cwd, 'name one log before --with');
  const good = (await findLogs(goodNames, io.cwd)).filter((one) => one !== path);
  if (good.length < 2) throw new UsageError('--with needs two good builds at least, other than the log itself');
  const inputs = [...inputsOfLog(path), ...good.flatMap((one) => inputsOfLog(one, 'one of the good builds'))];
  await refuseOverwriting([{ option: '--output', file: values.output }], inputs, io.cwd);

  const progress = new Progress(good.length + 1, io.stderr);
  const read: ProfiledLog[] = [];
  try {
    for (const [at, one] of [path, ...good].entries()) {
      io.signal.throwIfAborted();
      read.push(await readProfile(one, { alignment, settings, believeAll, signal: io.signal }));
      progress.at(at, 1);
    }
  } finally {
    progress.clear();
  }
  const compared = comparedLog(read[0]!, read.slice(1), alignment, coverage, io);
  const formatted = { text: comparisonText, json: comparisonJson, markdown: comparisonMarkdown }[format](compared);
  await writeOutput(formatted, values.output, io);
  return failOn === 'outside' && compared.comparison.excursions.length > 0 ? 1 : 0;
}

/** Names after `--with` up to the next option are the good builds. */
function readArguments(argv: readonly string[]): ReturnType<typeof parseArguments<typeof options>> & {
  readonly goodNames: readonly string[];
} {
  const rest: string[] = [];
  const goodNames: string[] = [];
  let good = false;
  for (const argument of argv) {
    if (argument === '--with' || argument.startsWith('-')) good = argument === '--with';
    else if (good) goodNames.push(argument);
    if (argument !== '--with' && !good) rest.push(argument);
  }
  if (goodNames.length === 0) throw new UsageError('name the good builds after --with');
  return { ...parseArguments(rest, options), goodNames };
}

function comparedLog(
  log: ProfiledLog,
  good: readonly ProfiledLog[],
  alignment: Alignment,
  coverage: number,
  io: Io,
): ComparedLog {
  const shown = (one: ProfiledLog): ProfiledBuild => ({ ...one, name: shownPath(one.path, io.cwd) });
  const { comparison, cautions } = asInputError(() => compareBuilds(shown(log), good.map(shown), coverage));
  const lines = new Map(log.profile.places.map(({ key, line }) => [key, line]));
  return {
    path: shownPath(log.path, io.cwd),
    references: good.map(({ path }) => shownPath(path, io.cwd)),
    alignment,
    coverage,
    comparison,
    lineOf: (key) => lines.get(key) ?? 1,
    cautions,
  };
}

function alignmentOf(by: 'layer' | 'time', stretch: string): Alignment {
  return by === 'layer' ? { by } : { by, stretchS: numberIn('--stretch', stretch, 0.001, 1e9) };
}

function numberIn(option: string, text: string, low: number, high: number): number {
  const value = text.trim() === '' ? NaN : Number(text.replace(/\s*(%|s)$/, ''));
  if (value >= low && value <= high) return value;
  throw new UsageError(`${option} needs a number from ${low} to ${high}, got '${text}'`);
}
