// The columns of the derived table: time, layer, the chosen quantities of every rosette and cell, then derived series.
import { quantityOf } from '../core/display/quantities.ts';
import type { LogHeader } from '../core/header/logHeader.ts';
import type { LogBasis } from '../core/pipeline/logHead.ts';
import { wholeLine } from '../core/problem.ts';
import { compileDerived } from '../core/strain/derived.ts';
import type { DatumReport } from '../core/strain/datumReport.ts';
import { seriesCatalog } from '../core/strain/seriesCatalog.ts';
import type { SeriesEntry } from '../core/strain/seriesCatalog.ts';
import { SeriesValues } from '../core/strain/seriesValues.ts';
import type { RowBlock } from '../core/table/rowBlock.ts';
import { blockRowsFor } from '../core/table/rowScanner.ts';

export interface TableColumn {
  readonly name: string;
  /** ECSV spelling. */
  readonly unit: string;
  readonly title: string;
  readonly integer: boolean;
}

export interface TableAbout {
  /** Name of the log. */
  readonly source: string;
  readonly datum: DatumReport;
}

/** Where rows of the derived table go. */
export interface TableSink {
  /** The columns' first `rows` values count; NaN is an undefined value. */
  write(columns: readonly Float64Array[], rows: number): Promise<void>;
  finish(): Promise<void>;
  /** Closes without finishing; the caller removes what was written. */
  abandon(): Promise<void>;
}

export class DerivedTable {
  readonly columns: readonly TableColumn[];
  readonly datum: DatumReport;
  readonly #roles: readonly number[];
  readonly #values: SeriesValues;

  constructor({ header, layouts, context }: LogBasis, suffixes: readonly string[]) {
    const entries = seriesCatalog(header).filter((entry) => isWanted(entry, header, suffixes));
    const ids = entries.map(({ id }) => id);
    const { time, layer } = header.roles;
    this.#roles = layer < 0 ? [time] : [time, layer];
    this.#values = new SeriesValues(header, layouts, context, ids, blockRowsFor(header.columns.length) + 1);
    this.datum = context.report;
    this.columns = [
      { name: 'time', unit: 's', title: 'time of the row', integer: false },
      ...(layer < 0 ? [] : [{ name: 'layer', unit: '', title: 'layer of the build', integer: true }]),
      ...entries.map((entry) => columnOf(entry, header)),
    ];
  }

  compute(rows: RowBlock): readonly Float64Array[] {
    return [...this.#roles.map((column) => rows.columns[column]!), ...this.#values.compute(rows)];
  }
}

function isWanted({ id, quantity }: SeriesEntry, header: LogHeader, suffixes: readonly string[]): boolean {
  return quantity === '' ? header.derived.some(({ name }) => name === id) : suffixes.includes(quantity);
}

function columnOf(entry: SeriesEntry, header: LogHeader): TableColumn {
  const quantity = quantityOf(entry.quantity);
  const unit = quantity ? quantity.unit : derivedUnit(entry.id, header);
  return { name: entry.id, unit, title: entry.title, integer: false };
}

function derivedUnit(id: string, header: LogHeader): string {
  const derived = header.derived.find(({ name }) => name === id);
  return (derived && compileDerived(derived, header, () => wholeLine(1), 1).series?.unit) ?? '';
}
