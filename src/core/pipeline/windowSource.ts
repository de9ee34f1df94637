// Joins pyramid and re-read rows into what a drawing asks for: any series of the log over any stretch of time.
// Values are in the units of core/display/quantities; raw columns in the file's unit; times in seconds.
import { quantityOf } from '../display/quantities.ts';
import { PyramidBuilder } from '../display/pyramid.ts';
import type { SeriesLevels } from '../display/pyramid.ts';
import type { RawRows, RowRange, WindowSource } from '../display/window.ts';
import type { Session } from '../session.ts';
import { seriesCatalog } from '../strain/seriesCatalog.ts';
import type { SeriesEntry } from '../strain/seriesCatalog.ts';
import { SeriesValues } from '../strain/seriesValues.ts';
import type { ByteSource } from '../table/byteSource.ts';
import { readRowRanges } from '../table/rowReader.ts';
import { blockRowsFor } from '../table/rowScanner.ts';

/** Pyramids of series that have none of their own are kept for so many series. */
const keptExtras = 64;

export class SeriesWindows {
  readonly #session: Session;
  readonly #source: ByteSource;
  readonly #catalog: Map<string, SeriesEntry>;
  readonly #extras = new Map<string, SeriesLevels>();

  /** The session's head must have been read. */
  constructor(session: Session, source: ByteSource) {
    this.#session = session;
    this.#source = source;
    this.#catalog = new Map(seriesCatalog(session.basis!.header).map((entry) => [entry.id, entry]));
  }

  /** @throws Error for a series the log does not offer. */
  async source(ids: readonly string[]): Promise<WindowSource> {
    for (const id of ids) if (!this.#catalog.has(id)) throw new Error(`no series named '${id}' in this log`);
    const pyramid = this.#session.pyramid();
    const { header } = this.#session.basis!;
    const timeName = header.columns[header.roles.time]!.name;
    const missing = ids.filter((id) => !pyramid.has(id) && this.#extras.get(id)?.rows !== this.#session.rows);
    if (missing.length > 0) await this.#build(missing);
    return {
      times: pyramid.get(timeName)!,
      series: ids.map((id) => ({ levels: this.#levels(pyramid.get(id), id), scale: 1 })),
      readRows: (ranges) => this.#readRows(ids, ranges),
    };
  }

  #levels(own: SeriesLevels | undefined, id: string): SeriesLevels {
    return own ? scaled(own, this.#scale(id)) : this.#extras.get(id)!;
  }

  /** What a pyramid's value is multiplied by for the screen. */
  #scale(id: string): number {
    return quantityOf(this.#catalog.get(id)!.quantity)?.scale ?? 1;
  }

  async #readRows(ids: readonly string[], ranges: readonly RowRange[]): Promise<RawRows[]> {
    const { basis, index } = this.#session;
    const { header, layouts, context } = basis!;
    const values = new SeriesValues(header, layouts, context, ids, blockRowsFor(header.columns.length) + 1);
    const read = ranges.map(({ from, to }) => ({
      from,
      timeS: new Float64Array(to - from),
      values: ids.map(() => new Float64Array(to - from)),
    }));
    let at = 0;
    await readRowRanges(this.#source, header, index!, ranges, (block) => {
      while (block.firstRow >= ranges[at]!.to) at++;
      const { from, timeS, values: out } = read[at]!;
      const offset = block.firstRow - from;
      timeS.set(block.columns[header.roles.time]!.subarray(0, block.rows), offset);
      values.compute(block).forEach((column, i) => out[i]!.set(column.subarray(0, block.rows), offset));
    });
    return read;
  }

  /** One pass over all rows for series that no pyramid was built of while reading. */
  async #build(ids: readonly string[]): Promise<void> {
    const { basis, index, rows, bucketRows } = this.#session;
    const { header, layouts, context } = basis!;
    const periods = ids.map((id) => (quantityOf(this.#catalog.get(id)!.quantity)?.axial ? 180 : 0));
    const builder = new PyramidBuilder(ids.length, bucketRows, periods);
    const values = new SeriesValues(header, layouts, context, ids, blockRowsFor(header.columns.length) + 1);
    await readRowRanges(this.#source, header, index!, [{ from: 0, to: rows }], (block) => {
      builder.push(values.compute(block), block.rows, block.firstRow);
    });
    const levels = builder.finish();
    ids.forEach((id, i) => this.#extras.set(id, levels[i]!));
    for (const id of this.#extras.keys()) {
      if (this.#extras.size <= keptExtras) break;
      if (!ids.includes(id)) this.#extras.delete(id);
    }
  }
}

/** The same series in another unit. */
function scaled(levels: SeriesLevels, scale: number): SeriesLevels {
  if (scale === 1) return levels;
  return {
    get rows() {
      return levels.rows;
    },
    bucketRows: levels.bucketRows,
    period: levels.period * scale,
    buckets: (level) => levels.buckets(level),
    extremes: (level, bucket, out) => {
      levels.extremes(level, bucket, out);
      out[0]! *= scale;
      out[1]! *= scale;
    },
  };
}
