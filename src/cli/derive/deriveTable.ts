// Writes the derived table of one log: opens it, checks what was asked for, and passes its rows on to the file.
import { basename } from 'node:path';
import { cellsWithHeat } from '../../core/display/text/heatLeft.ts';
import type { DerivedSeries } from '../../core/header/logHeader.ts';
import { askedFaults } from '../../core/pipeline/derivedSeries.ts';
import type { LogBasis } from '../../core/pipeline/logHead.ts';
import type { AnalysisSettings } from '../../core/pipeline/settings.ts';
import type { Problem } from '../../core/problem.ts';
import { InputError, UsageError } from '../command.ts';
import type { Io, Output } from '../command.ts';
import { lackingQuantities } from './deriveAsked.ts';
import { RowTable } from './deriveColumns.ts';
import type { Table, TableAbout, TableColumn, TableRows, TableSink } from './deriveColumns.ts';
import { draftOf } from '../draft.ts';
import type { Draft } from '../draft.ts';
import { CsvSink } from './deriveCsv.ts';
import { LayerTable } from './deriveLayers.ts';
import { ParquetSink } from './deriveParquet.ts';
import { readLog } from './deriveReading.ts';
import type { LogReading } from './deriveReading.ts';
import { problemFinding } from '../finding.ts';
import { findSick, sickRecord } from '../findSick.ts';
import { shownPath } from '../findLogs.ts';
import { findingLine } from '../formatText.ts';
import { byRosette } from '../sickRosettes.ts';
import type { SickRosette } from '../sickRosettes.ts';
import { reasonOf } from '../writeWhole.ts';
import { YieldWatch } from './yieldWatch.ts';

export interface DeriveTask {
  readonly path: string;
  readonly settings: AnalysisSettings;
  readonly suffixes: readonly string[];
  /** Whether the user named them; else those that a log has not are no news. */
  readonly named: boolean;
  readonly byLayer: boolean;
  /** Sick channels are not looked for. */
  readonly believeAll: boolean;
  readonly output: string | undefined;
  readonly io: Io;
}

export interface Written {
  /** What was asked for by name and does not exist, one sentence a reason. */
  readonly lacking: readonly string[];
  /** Of header and rows. */
  readonly problems: readonly Problem[];
  readonly sick: readonly SickRosette[];
  /** Rows of the log. */
  readonly rows: number;
}

/** @throws InputError, UsageError; then nothing was written. */
export async function writeTable(task: DeriveTask): Promise<Written> {
  const { path, settings, suffixes, named, byLayer, believeAll, output, io } = task;
  const log = await readLog(path, settings);
  const basis = usableBasis(log, task);
  const { header } = basis;
  const lacking = lackingQuantities(header, suffixes, shownPath(path, io.cwd));
  const sick = believeAll ? undefined : await findSick(path, settings, basis, io.signal);
  const table: Table = new (byLayer ? LayerTable : RowTable)(basis, suffixes, sick ?? []);
  const stresses = new YieldWatch(table.columns, header.plate.yieldStressPa);
  let draft: Draft | undefined;
  let sink: TableSink | undefined;
  try {
    draft = output === undefined ? undefined : await draftOf(output);
    const about = {
      source: basename(path),
      datum: basis.context.report,
      heatLeft: cellsWithHeat(header).map((cell) => header.cells[cell]!.name),
      sick: sick?.map((spell) => sickRecord(header, spell)),
    };
    sink = openSink(table.columns, about, { draft: draft?.file, output, stdout: io.stdout });
    const { rows, problems } = await passRows(log, table, sink, byLayer ? undefined : stresses, io.signal);
    await draft?.keep();
    return {
      lacking: named ? lacking : [],
      problems: [...stresses.problems, ...log.problems, ...problems],
      sick: byRosette(header, sick ?? []),
      rows,
    };
  } catch (error) {
    await sink?.abandon().catch(() => undefined);
    await draft?.drop();
    if (error instanceof Error && 'code' in error && typeof error.code === 'string') {
      throw new InputError(`'${output ?? 'the terminal'}' could not be written: ${reasonOf(error)}`);
    }
    throw error;
  }
}

/** All rows of the log into the sink, to its end; answers with how many they were and what was wrong with them. */
async function passRows(
  log: LogReading,
  table: Table,
  sink: TableSink,
  stresses: YieldWatch | undefined,
  signal: AbortSignal,
): Promise<Pick<Written, 'rows' | 'problems'>> {
  const write = ({ columns, rows }: TableRows): Promise<void> => sink.write(columns, rows);
  let rows = 0;
  const problems = await log.rows(async (blocks) => {
    if (signal.aborted) throw new InputError('stopped; nothing was written');
    for (const block of blocks) {
      rows += block.rows;
      const derived = table.push(block);
      stresses?.look(block, derived);
      await write(derived);
    }
  });
  await write(table.finish());
  await sink.finish();
  return { rows, problems };
}

/** @throws InputError, UsageError where the log cannot give what is asked for. */
function usableBasis({ basis, problems }: LogReading, { path, settings, byLayer, io }: DeriveTask): LogBasis {
  const shown = shownPath(path, io.cwd);
  if (!basis) {
    const errors = problems.filter(({ severity }) => severity === 'error');
    const lines = errors.map((problem) => findingLine(problemFinding(problem, shown), false));
    throw new InputError([`the header of '${shown}' cannot be used`, ...lines].join('\n'));
  }
  requireDerived(basis, settings.derived ?? []);
  if (byLayer && basis.header.roles.layer < 0) {
    throw new InputError(`'${shown}' has no layer column, so nothing can be told by layer`);
  }
  return basis;
}

function openSink(
  columns: readonly TableColumn[],
  about: TableAbout,
  target: { readonly draft: string | undefined; readonly output: string | undefined; readonly stdout: Output },
): TableSink {
  const parquet = /\.parquet$/i.test(target.output ?? '');
  if (target.draft && parquet) return new ParquetSink(target.draft, columns, about);
  return new CsvSink(target.draft ?? target.stdout, columns, about);
}

/** A series asked for on the command line must be right; one of the header only costs that series. */
function requireDerived({ header }: LogBasis, asked: readonly DerivedSeries[]): void {
  const own = { ...header, derived: header.derived.slice(0, header.derived.length - asked.length) };
  const [fault] = askedFaults(own, asked);
  if (!fault) return;
  const { message, series, at } = fault;
  const place = at === undefined ? '' : `\n  ${series.expression}\n  ${' '.repeat(at)}^`;
  throw new UsageError(`--derive: ${message}${place}`);
}
