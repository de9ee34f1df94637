// `underplate derive`: a log's readings as strains, principal values, stresses and moments, one row per row of the log,
// to CSV (ECSV 1.0) or Parquet. This file knows the command line; deriveTable.ts does the work and is loaded when needed.
import { resolve } from 'node:path';
import { quantities, quantityOf } from '../../core/display/quantities.ts';
import { sickText } from '../../core/display/text/sickText.ts';
import type { Problem } from '../../core/problem.ts';
import { InputError, UsageError, parseArguments } from '../command.ts';
import type { Command, ExitCode, Io } from '../command.ts';
import { problemFinding } from '../finding.ts';
import { findOneLog, shownPath } from '../findLogs.ts';
import { findingLine } from '../formatText.ts';
import { inputsOfLog, refuseOverwriting } from '../overwriting.ts';
import { readSettings } from '../settings.ts';
import type { SickRosette } from '../sickRosettes.ts';
import { oneLine } from '../terminalText.ts';

const knownSuffixes: readonly string[] = quantities.map(({ suffix }) => suffix);

/** What is written where --columns does not say. */
const defaultSuffixes: readonly string[] = [
  ...['strain', 'ex', 'ey', 'gxy', 'e1', 'e2', 'gmax', 'dir', 'dir_err', 's1', 's2', 'vm', 'resid'],
  ...['kx', 'ky', 'kxy', 'nx', 'ny', 'nxy', 'mx', 'my', 'mxy'],
];

const layerSuffixes: readonly string[] = ['strain', 'ex', 'ey', 'gxy', 'kx', 'ky', 'kxy', 'mx', 'my', 'mxy'];

const usage = `Usage: underplate derive [OPTIONS] LOG

Writes what follows from the readings, row by row: strains, principal strains and direction, stresses, and with two
planes curvature, forces and moments; of a cell with too few directions for these the strain along each fibre. An
undefined value is an empty field (CSV) or null (Parquet).

  --output FILE       FILE.csv (ECSV 1.0, with units) or FILE.parquet; to the terminal as CSV where not given
  --columns NAMES     which quantities, by suffix, e.g. e1,e2,dir; where not given:
${listed(defaultSuffixes)}
                      also known:
${listed(knownSuffixes.filter((suffix) => !defaultSuffixes.includes(suffix)))}
  --datum FROM:TO     window called zero, in seconds of the log
  --by-layer          one row per layer: means, and how they rise from layer to layer
  --all-channels      use every channel as it is. Where not given, the log is searched for sick channels first: one that
                      jumped or wandered is left out of its cell's tensor from then on, a stuck one until it moves,
                      where three directions remain. What is left out or doubtful is told, and stands in the file
  --derive NAME=EXPR  one more series, from column names, numbers, + - * / ^ and functions such as sqrt or max

Exit code: 0 written, 2 unreadable log (one without rows, or without any of the quantities,
too) or wrong usage.`;

const options = {
  output: { type: 'string', short: 'o' },
  columns: { type: 'string' },
  'by-layer': { type: 'boolean', default: false },
  'all-channels': { type: 'boolean', default: false },
  datum: { type: 'string' },
  derive: { type: 'string', multiple: true },
} as const;

export const deriveCommand: Command = {
  usage,
  run: derive,
};

async function derive(argv: readonly string[], io: Io): Promise<ExitCode> {
  const { values, positionals } = parseArguments(argv, options);
  const byLayer = values['by-layer'];
  const otherwise = byLayer ? layerSuffixes : defaultSuffixes;
  const suffixes = values.columns === undefined ? otherwise : chosenSuffixes(values.columns, byLayer);
  const settings = readSettings(values);
  const { path } = await findOneLog(positionals, io.cwd);
  const output = values.output === undefined || values.output === '-' ? undefined : resolve(io.cwd, values.output);
  if (output !== undefined && !/\.(csv|parquet)$/i.test(output)) {
    throw new UsageError(`--output: the file must end in .csv or .parquet, got '${values.output}'`);
  }
  await refuseOverwriting([{ option: '--output', file: output }], inputsOfLog(path), io.cwd);
  const { writeTable } = await import('./deriveTable.ts');
  const believeAll = values['all-channels'];
  const task = { path, settings, suffixes, named: values.columns !== undefined, byLayer, believeAll, output, io };
  const { lacking, problems, sick, rows } = await writeTable(task);
  const shown = shownPath(path, io.cwd);
  tellProblems(problems, shown, io);
  tellSick(sick, shown, io);
  for (const line of lacking) io.stderr.write(`${oneLine(line)}\n`);
  if (rows === 0) {
    throw new InputError(
      `no row of '${shown}' could be read, so only names of columns were written; wait until it has rows, or mend them`,
    );
  }
  return 0;
}

function chosenSuffixes(list: string, byLayer: boolean): string[] {
  const suffixes = list.split(',').map((suffix) => suffix.trim());
  const unknown = suffixes.find((suffix) => !knownSuffixes.includes(suffix));
  if (unknown !== undefined) {
    throw new UsageError(`--columns: there is no quantity '${unknown}'; known are ${knownSuffixes.join(', ')}`);
  }
  const axial = byLayer ? suffixes.find((suffix) => quantityOf(suffix)?.axial) : undefined;
  if (axial === undefined) return suffixes;
  throw new UsageError(`--columns: '${axial}' is a direction and has no mean by layer; take ex, ey and gxy instead`);
}

function tellProblems(problems: readonly Problem[], shown: string, io: Io): void {
  const worth = problems.filter(({ severity }) => severity !== 'information');
  const most = 10;
  for (const problem of worth.slice(0, most))
    io.stderr.write(`${findingLine(problemFinding(problem, shown), false)}\n`);
  if (worth.length > most) {
    io.stderr.write(`${shown}: ${worth.length - most} more problems; 'underplate check' tells them all\n`);
  }
}

function tellSick(sick: readonly SickRosette[], shown: string, io: Io): void {
  const most = 10;
  for (const { rosette, spells } of sick.slice(0, most)) {
    io.stderr.write(`${oneLine(`${shown}: ${rosette} ${sickText(spells)}`)}\n`);
  }
  if (sick.length > most) io.stderr.write(`${shown}: ${sick.length - most} more cells with sick channels\n`);
}

/** Names in lines that fit the help text. */
function listed(names: readonly string[]): string {
  const lines: string[] = [];
  for (let at = 0; at < names.length; at += 12) lines.push(`${' '.repeat(22)}${names.slice(at, at + 12).join(',')}`);
  return lines.join(',\n');
}
