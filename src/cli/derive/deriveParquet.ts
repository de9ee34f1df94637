// The derived table as Parquet: one row group at a time, so that memory does not grow with the log. Units and datum stand
// in the file's key-value metadata.
import { ParquetWriter, fileWriter, schemaFromColumnData } from 'hyparquet-writer';
import type { TableAbout, TableColumn, TableSink } from './deriveColumns.ts';

/** Values held before a row group is written: 8 MiB of doubles, or few rows of a very wide table. */
const groupValues = 1024 * 1024;

export class ParquetSink implements TableSink {
  readonly #columns: readonly TableColumn[];
  readonly #writer: ParquetWriter;
  readonly #group: readonly Float64Array[];
  readonly #capacity: number;
  #rows = 0;

  constructor(path: string, columns: readonly TableColumn[], { source, datum, heatLeft, sick }: TableAbout) {
    this.#columns = columns;
    this.#capacity = Math.max(1024, Math.min(65_536, Math.floor(groupValues / columns.length)));
    this.#group = columns.map(() => new Float64Array(this.#capacity));
    const schema = schemaFromColumnData({
      columnData: columns.map(({ name, integer }) => ({
        name,
        data: [],
        type: integer ? 'INT32' : 'DOUBLE',
        nullable: true,
      })),
    });
    const units = Object.fromEntries(columns.map(({ name, unit }) => [name, unit]));
    const { rows, fromS, toS, fit } = datum;
    const window = Number.isFinite(fromS) ? { from_s: fromS, to_s: toS } : {};
    this.#writer = new ParquetWriter({
      writer: fileWriter(path),
      schema,
      kvMetadata: [
        { key: 'derived_from', value: source },
        { key: 'units', value: JSON.stringify(units) },
        { key: 'datum', value: JSON.stringify({ rows, ...window, fit }) },
        ...(heatLeft.length > 0 ? [{ key: 'heat_left_in', value: JSON.stringify(heatLeft) }] : []),
        ...(sick ? [{ key: 'sick_channels', value: `[${sick.join(',')}]` }] : []),
      ],
      createdBy: 'underplate',
    });
  }

  async write(columns: readonly Float64Array[], rows: number): Promise<void> {
    for (let done = 0; done < rows;) {
      const count = Math.min(rows - done, this.#capacity - this.#rows);
      this.#group.forEach((column, c) => column.set(columns[c]!.subarray(done, done + count), this.#rows));
      this.#rows += count;
      done += count;
      if (this.#rows === this.#capacity) await this.#flush();
    }
  }

  async finish(): Promise<void> {
    if (this.#rows > 0) await this.#flush();
    await this.#writer.finish();
  }

  /** The writer keeps no file open between writes. */
  abandon(): Promise<void> {
    return Promise.resolve();
  }

  async #flush(): Promise<void> {
    const columnData = this.#columns.map(({ name }, c) => ({
      name,
      data: nullable(this.#group[c]!.subarray(0, this.#rows)),
    }));
    await this.#writer.write({ columnData, rowGroupSize: this.#capacity });
    this.#rows = 0;
  }
}

/** Parquet's null where a value is undefined. */
function nullable(values: Float64Array): (number | null)[] {
  return Array.from(values, (value) => (Number.isFinite(value) ? value : null));
}
