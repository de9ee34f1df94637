// `underplate derive`: a log's readings as strains, principal values, stresses and moments, one row per row of the log,
// to CSV (ECSV 1.0) or Parquet. Read in one pass after the datum window, in bounded memory.
import { randomBytes } from 'node:crypto';
import { rename, rm } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import type { LogBasis } from '../core/pipeline/logHead.ts';
import type { Problem } from '../core/problem.ts';
import { compileDerived } from '../core/strain/derived.ts';
import { wholeLine } from '../core/problem.ts';
import { InputError, UsageError, parseArguments } from './command.ts';
import type { Command, ExitCode, Io, Output } from './command.ts';
import { DerivedTable, defaultSuffixes, knownSuffixes } from './deriveColumns.ts';
import type { TableSink } from './deriveColumns.ts';
import { CsvSink } from './deriveCsv.ts';
import { ParquetSink } from './deriveParquet.ts';
import { readLog } from './deriveReading.ts';
import { findLogs, shownPath } from './findLogs.ts';
import { readSettings } from './settings.ts';
import { reasonOf } from './writeWhole.ts';

const usage = `Usage: underplate derive [OPTIONS] LOG

Writes what follows from the readings, row by row: strains, principal strains and direction, stresses, and with two
planes curvature, forces and moments. An undefined value is an empty field (CSV) or null (Parquet).

  --output FILE       FILE.csv (ECSV 1.0, with units) or FILE.parquet; to the terminal as CSV where not given
  --columns NAMES     which quantities, by suffix, e.g. e1,e2,dir (default: ${defaultSuffixes.join(',')});
                      also known: ${knownSuffixes.filter((suffix) => !defaultSuffixes.includes(suffix)).join(',')}
  --datum FROM:TO     window called zero, in seconds of the log
  --derive NAME=EXPR  one more series, from column names, numbers, + - * / ^ and functions such as sqrt or max

Exit code: 0 written, 2 unreadable log or wrong usage.`;

const options = {
  output: { type: 'string', short: 'o' },
  columns: { type: 'string' },
  datum: { type: 'string' },
  derive: { type: 'string', multiple: true },
} as const;

export const deriveCommand: Command = {
  name: 'derive',
  summary: 'strains, stresses and moments of every row, to CSV or Parquet',
  usage,
  run: derive,
};

async function derive(argv: readonly string[], io: Io): Promise<ExitCode> {
  const { values, positionals } = parseArguments(argv, options);
  const suffixes = values.columns === undefined ? defaultSuffixes : chosenSuffixes(values.columns);
  const settings = readSettings(values);
  const [name, ...more] = positionals;
  if (name === undefined || more.length > 0) throw new UsageError('name exactly one log');
  const [path, ...others] = await findLogs([name], io.cwd);
  if (path === undefined || others.length > 0) throw new UsageError(`'${name}' stands for several logs; name one`);
  const output = values.output === undefined || values.output === '-' ? undefined : resolve(io.cwd, values.output);
  if (output !== undefined && !/\.(csv|parquet)$/i.test(output)) {
    throw new UsageError(`--output: the file must end in .csv or .parquet, got '${values.output}'`);
  }
  if (output === path) throw new UsageError('--output names the log itself; name another file');
  const problems = await writeTable({ path, settings, suffixes, output, io });
  tellProblems(problems, shownPath(path, io.cwd), io);
  return 0;
}

function chosenSuffixes(list: string): string[] {
  const suffixes = list.split(',').map((suffix) => suffix.trim());
  const unknown = suffixes.find((suffix) => !knownSuffixes.includes(suffix));
  if (unknown === undefined) return suffixes;
  throw new UsageError(`--columns: there is no quantity '${unknown}'; known are ${knownSuffixes.join(', ')}`);
}

interface Task {
  readonly path: string;
  readonly settings: Parameters<typeof readLog>[1];
  readonly suffixes: readonly string[];
  readonly output: string | undefined;
  readonly io: Io;
}

async function writeTable({ path, settings, suffixes, output, io }: Task): Promise<readonly Problem[]> {
  const log = await readLog(path, settings);
  if (!log.basis) {
    const errors = log.problems.filter(({ severity }) => severity === 'error');
    throw new InputError([`the header of '${shownPath(path, io.cwd)}' cannot be used`, ...errors.map(told)].join('\n'));
  }
  requireDerived(log.basis, settings.derived ?? []);
  const table = new DerivedTable(log.basis, suffixes);
  const draft = output && join(dirname(output), `.${basename(output)}.${randomBytes(6).toString('hex')}`);
  let sink: TableSink | undefined;
  try {
    sink = openSink(table, { path, draft, output, stdout: io.stdout });
    const problems = await log.rows(async (blocks) => {
      if (io.signal.aborted) throw new InputError('stopped; nothing was written');
      for (const block of blocks) await sink!.write(table.compute(block), block.rows);
    });
    await sink.finish();
    if (draft && output) await rename(draft, output);
    return [...log.problems, ...problems];
  } catch (error) {
    await sink?.abandon().catch(() => undefined);
    if (draft) await rm(draft, { force: true }).catch(() => undefined);
    if (error instanceof Error && 'code' in error && typeof error.code === 'string') {
      throw new InputError(`'${output ?? 'the terminal'}' could not be written: ${reasonOf(error)}`);
    }
    throw error;
  }
}

function openSink(
  table: DerivedTable,
  target: { path: string; draft: string | undefined; output: string | undefined; stdout: Output },
): TableSink {
  const about = { source: basename(target.path), datum: table.datum };
  if (target.draft && /\.parquet$/i.test(target.output ?? ''))
    return new ParquetSink(target.draft, table.columns, about);
  return new CsvSink(target.draft ?? target.stdout, table.columns, about);
}

/** A series asked for on the command line must be right; one of the header only costs that series. */
function requireDerived({ header }: LogBasis, asked: readonly { name: string; expression: string }[]): void {
  for (const series of asked) {
    if (header.columns.some(({ name }) => name === series.name)) {
      throw new UsageError(`--derive: a column is named '${series.name}' already; choose another name`);
    }
    let place = 0;
    const { problems } = compileDerived(series, header, (from) => ((place = from), wholeLine(1)), 1);
    if (problems[0]) {
      throw new UsageError(`--derive: ${problems[0].message}\n  ${series.expression}\n  ${' '.repeat(place)}^`);
    }
  }
}

function tellProblems(problems: readonly Problem[], shown: string, io: Io): void {
  const worth = problems.filter(({ severity }) => severity !== 'information');
  const most = 10;
  for (const problem of worth.slice(0, most)) io.stderr.write(`${shown}:${told(problem)}\n`);
  if (worth.length > most) {
    io.stderr.write(`${shown}: ${worth.length - most} more problems; 'underplate check' tells them all\n`);
  }
}

function told({ range, severity, message, code }: Problem): string {
  return `${range.line}:${range.column}: ${severity}: ${message} [${code}]`;
}
