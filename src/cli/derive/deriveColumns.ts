// The columns of the derived table: time, layer, the chosen quantities of every rosette (or fibre) and cell, then derived series.
import { quantityOf } from '../../core/display/quantities.ts';
import type { LogHeader } from '../../core/header/logHeader.ts';
import type { LogBasis } from '../../core/pipeline/logHead.ts';
import { wholeLine } from '../../core/problem.ts';
import { compileDerived } from '../../core/strain/derived.ts';
import type { DatumReport } from '../../core/strain/datumReport.ts';
import { seriesCatalog } from '../../core/strain/seriesCatalog.ts';
import type { SeriesEntry } from '../../core/strain/seriesCatalog.ts';
import { SeriesValues } from '../../core/strain/seriesValues.ts';
import type { SickSpell } from '../../core/strain/sickSpell.ts';
import type { RowBlock } from '../../core/table/rowBlock.ts';
import { blockCapacityFor } from '../../core/table/rowBlock.ts';

export interface TableColumn {
  readonly name: string;
  /** Suffix of the quantity it holds, row by row (display/quantities.ts); left out where it holds none. */
  readonly quantity?: string;
  /** ECSV spelling. */
  readonly unit: string;
  readonly title: string;
  readonly integer: boolean;
}

export interface TableAbout {
  /** Name of the log. */
  readonly source: string;
  readonly datum: DatumReport;
  /** Names of the cells whose strain holds the heat, as nothing tells their temperature. */
  readonly heatLeft: readonly string[];
  /** Spells of sick channels, each as JSON; undefined where they were not looked for. */
  readonly sick: readonly string[] | undefined;
}

/** Where rows of the derived table go. */
export interface TableSink {
  /** The columns' first `rows` values count; NaN is an undefined value. */
  write(columns: readonly Float64Array[], rows: number): Promise<void>;
  finish(): Promise<void>;
  /** Closes without finishing; the caller removes what was written. */
  abandon(): Promise<void>;
}

/** Rows of columns; the arrays may be reused by the next answer. */
export interface TableRows {
  readonly columns: readonly Float64Array[];
  readonly rows: number;
}

/** Turns accepted rows of the log into rows of the derived table. */
export interface Table {
  readonly columns: readonly TableColumn[];
  push(rows: RowBlock): TableRows;
  /** What is left when the log has ended. */
  finish(): TableRows;
}

/** One row of the table per row of the log. */
export class RowTable implements Table {
  readonly columns: readonly TableColumn[];
  readonly #roles: readonly number[];
  readonly #values: SeriesValues;

  constructor({ header, layouts, context }: LogBasis, suffixes: readonly string[], sick: readonly SickSpell[]) {
    const entries = wantedSeries(header, suffixes);
    const ids = entries.map(({ id }) => id);
    const { time, layer } = header.roles;
    this.#roles = layer < 0 ? [time] : [time, layer];
    const capacity = blockCapacityFor(header.columns.length);
    this.#values = new SeriesValues(header, layouts, context, ids, capacity, sick);
    this.columns = [
      { name: 'time', unit: 's', title: 'time of the row', integer: false },
      ...(layer < 0 ? [] : [{ name: 'layer', unit: '', title: 'layer of the build', integer: true }]),
      ...entries.map((entry) => columnOf(entry, header)),
    ];
  }

  push(rows: RowBlock): TableRows {
    const roles = this.#roles.map((column) => rows.columns[column]!);
    return { columns: [...roles, ...this.#values.compute(rows)], rows: rows.rows };
  }

  finish(): TableRows {
    return { columns: [], rows: 0 };
  }
}

/** The chosen quantities wherever they exist, and every derived series. */
export function wantedSeries(header: LogHeader, suffixes: readonly string[]): SeriesEntry[] {
  const derived = (id: string): boolean => header.derived.some(({ name }) => name === id);
  return seriesCatalog(header).filter(({ id, quantity }) =>
    quantity === '' ? derived(id) : suffixes.includes(quantity),
  );
}

export function columnOf(entry: SeriesEntry, header: LogHeader): TableColumn {
  const quantity = quantityOf(entry.quantity);
  const unit = quantity ? quantity.unit : derivedUnit(entry.id, header);
  return {
    name: entry.id,
    ...(quantity ? { quantity: quantity.suffix } : {}),
    unit,
    title: entry.title,
    integer: false,
  };
}

function derivedUnit(id: string, header: LogHeader): string {
  const derived = header.derived.find(({ name }) => name === id);
  return (derived && compileDerived(derived, header, () => wholeLine(1), 1).series?.unit) ?? '';
}
