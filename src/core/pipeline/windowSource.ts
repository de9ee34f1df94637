// Joins pyramid and re-read rows into what a drawing asks for: any series of the log over any stretch of time.
// Values are in the units of core/display/quantities; raw columns in the file's unit; times in seconds.
import { quantityOf } from '../display/quantities.ts';
import { PyramidBuilder } from '../display/pyramid/pyramid.ts';
import type { SeriesLevels } from '../display/pyramid/pyramidLevels.ts';
import type { RawRows, RowRange, WindowSource } from '../display/pyramid/window.ts';
import type { Session } from '../session.ts';
import { seriesCatalog } from '../strain/seriesCatalog.ts';
import type { SeriesEntry } from '../strain/seriesCatalog.ts';
import { SeriesValues } from '../strain/seriesValues.ts';
import { altersTensor } from '../strain/sickSpell.ts';
import type { SickSpell } from '../strain/sickSpell.ts';
import type { ByteSource } from '../table/byteSource.ts';
import { readRowRanges } from '../table/rowReader.ts';
import { blockCapacityFor } from '../table/rowBlock.ts';
import { watched, watchedSeries } from './watchedSeries.ts';

/** A pyramid made on first use that lacks no more rows than this is completed at once: a followed log's. */
const soonReadRows = 8192;
/** Groups of series whose pyramids are kept, beyond those that every reading builds. */
const keptGroups = 12;

/** Series that were first asked for together. */
interface LateGroup {
  readonly ids: readonly string[];
  readonly builder: PyramidBuilder;
}

export class SeriesWindows {
  readonly #session: Session;
  readonly #source: ByteSource;
  readonly #catalog: Map<string, SeriesEntry>;
  /** Latest used last. */
  #late: LateGroup[] = [];
  /** One preparation at a time: two would read the same rows into the same pyramid. */
  #preparing: Promise<readonly LateGroup[]> = Promise.resolve([]);
  #sick: readonly SickSpell[] = [];

  /** The session's head must have been read. */
  constructor(session: Session, source: ByteSource) {
    this.#session = session;
    this.#source = source;
    this.#catalog = new Map(
      [...seriesCatalog(session.basis!.header), ...watchedSeries(session.basis!.header)].map((entry) => [
        entry.id,
        entry,
      ]),
    );
  }

  /**
   * Series that no reading builds have extremes only in the source's `whole`: to get them the log is read again. So have
   * those of a rosette with a channel left out; until then their extremes are those of all channels.
   * @throws Error for a series the log does not offer.
   */
  async source(ids: readonly string[], sick: readonly SickSpell[] = []): Promise<WindowSource> {
    for (const id of ids) if (!this.#catalog.has(id)) throw new Error(`no series named '${id}' in this log`);
    this.#believe(sick);
    const pyramid = this.#session.pyramid();
    const late = ids.filter(
      (id) => !this.#isWatched(id) && (!pyramid.has(id) || alteredBy(this.#catalog.get(id)!, sick)),
    );
    const missing = late.filter((id) => !this.#late.some((group) => group.ids.includes(id) && this.#isNear(group)));
    const near = await this.#prepared(late.filter((id) => !missing.includes(id)));
    const source = this.#sourceOf(ids, near);
    if (missing.length === 0) return source;
    return { ...source, whole: async () => this.#sourceOf(ids, await this.#prepared(late)) };
  }

  /** Of `sick`, what is to be told of a series in [fromS, toS]. */
  sickOf(id: string, sick: readonly SickSpell[], fromS: number, toS: number): SickSpell[] {
    return concerning(this.#catalog.get(id)!, sick).filter((s) => s.fromS <= toS && s.toS > fromS);
  }

  /** What was made while other channels were believed is made anew. */
  #believe(sick: readonly SickSpell[]): void {
    const before = this.#sick;
    if (sick === before) return;
    this.#sick = sick;
    const isSame = (id: string): boolean => {
      const entry = this.#catalog.get(id)!;
      return JSON.stringify(altering(entry, before)) === JSON.stringify(altering(entry, sick));
    };
    this.#late = this.#late.filter(({ ids }) => ids.every(isSame));
  }

  #isNear({ builder }: LateGroup): boolean {
    return this.#session.rows - builder.rows <= soonReadRows;
  }

  #prepared(late: readonly string[]): Promise<readonly LateGroup[]> {
    if (late.length === 0) return Promise.resolve([]);
    const prepare = (): Promise<readonly LateGroup[]> => this.#prepare(late);
    return (this.#preparing = this.#preparing.then(prepare, prepare));
  }

  #sourceOf(ids: readonly string[], groups: readonly LateGroup[]): WindowSource {
    const pyramid = this.#session.pyramid();
    const { header } = this.#session.basis!;
    const times = pyramid.get(header.columns[header.roles.time]!.name)!;
    const levels = (id: string): SeriesLevels => {
      const group = groups.find((one) => one.ids.includes(id));
      if (group) return group.builder.finish()[group.ids.indexOf(id)]!;
      const own = pyramid.get(id);
      return own ? scaled(own, this.#scale(id)) : nothingOf(times, this.#period(id));
    };
    return {
      times,
      series: ids.map((id) => ({ levels: levels(id), scale: 1 })),
      readRows: (ranges) => this.#readRows(ids, ranges),
    };
  }

  #isWatched(id: string): boolean {
    return watched.some(({ suffix }) => suffix === this.#catalog.get(id)!.quantity);
  }

  /** In the unit of the screen. */
  #period(id: string): number {
    return quantityOf(this.#catalog.get(id)!.quantity)?.axial ? 180 : 0;
  }

  /** What a pyramid's value is multiplied by for the screen. */
  #scale(id: string): number {
    return quantityOf(this.#catalog.get(id)!.quantity)?.scale ?? 1;
  }

  async #readRows(ids: readonly string[], ranges: readonly RowRange[]): Promise<RawRows[]> {
    const { basis, index } = this.#session;
    const { header, layouts, context } = basis!;
    const computed = ids.filter((id) => !this.#isWatched(id));
    const capacity = blockCapacityFor(header.columns.length);
    const values = new SeriesValues(header, layouts, context, computed, capacity, this.#sick);
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
      values.compute(block).forEach((column, i) => {
        out[ids.indexOf(computed[i]!)]!.set(column.subarray(0, block.rows), offset);
      });
    });
    const pyramid = this.#session.pyramid();
    ids.forEach((id, i) => {
      if (!this.#isWatched(id)) return;
      const levels = pyramid.get(id);
      for (const { from, values: out } of read) {
        if (levels) fillFromBuckets(levels, from, out[i]!);
        else out[i]!.fill(NaN);
      }
    });
    return read;
  }

  /** Pyramids of series that are not built while reading: made on first use, continued where the log has grown. */
  async #prepare(ids: readonly string[]): Promise<readonly LateGroup[]> {
    const used = this.#late.filter((group) => ids.some((id) => group.ids.includes(id)));
    const missing = ids.filter((id) => !used.some((group) => group.ids.includes(id)));
    if (missing.length > 0) {
      const periods = missing.map((id) => this.#period(id));
      const builder = new PyramidBuilder(missing.length, this.#session.bucketRows, periods);
      used.push({ ids: missing, builder });
    }
    this.#late = [...this.#late.filter((group) => !used.includes(group)), ...used].slice(-keptGroups);
    for (const group of used) await this.#readOn(group);
    return used;
  }

  async #readOn({ ids, builder }: LateGroup): Promise<void> {
    const { basis, index, rows } = this.#session;
    if (builder.rows >= rows) return;
    const { header, layouts, context } = basis!;
    const capacity = blockCapacityFor(header.columns.length);
    const values = new SeriesValues(header, layouts, context, ids, capacity, this.#sick);
    await readRowRanges(this.#source, header, index!, [{ from: builder.rows, to: rows }], (block) => {
      builder.push(values.compute(block), block.rows, block.firstRow);
    });
  }
}

/** The spells of what a series is computed from: its rosette's, its cell's, or all of the plate. */
function concerning({ quantity, cell, plane }: SeriesEntry, sick: readonly SickSpell[]): SickSpell[] {
  // Readings, derived series, the detector's own and the temperature do not come from a tensor.
  if (!quantityOf(quantity) || quantity === 'dt') return [];
  return sick.filter((s) => cell < 0 || (s.cell === cell && (s.plane === plane || plane < 0)));
}

/** Those that make it another than all channels would. */
function altering(entry: SeriesEntry, sick: readonly SickSpell[]): SickSpell[] {
  return concerning(entry, sick).filter(altersTensor);
}

function alteredBy(entry: SeriesEntry, sick: readonly SickSpell[]): boolean {
  return altering(entry, sick).length > 0;
}

/** Every row gets the largest value of its bucket. */
function fillFromBuckets(levels: SeriesLevels, from: number, out: Float64Array): void {
  const pair = new Float64Array(2);
  for (let row = from; row < from + out.length; row++) {
    levels.extremes(0, Math.floor(row / levels.bucketRows), pair);
    out[row - from] = Math.max(pair[0]!, pair[1]!);
  }
}

/** Stands for a series whose extremes are not known yet. */
function nothingOf(times: SeriesLevels, period: number): SeriesLevels {
  return {
    get rows() {
      return times.rows;
    },
    bucketRows: times.bucketRows,
    period,
    buckets: (level) => times.buckets(level),
    extremes: (_level, _bucket, out) => void out.fill(NaN),
  };
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
