// Answers what the view, the editor and the command ask of a log that has been read, or is being read: windows of series,
// the plate's state, places, lines, problems. Rows are read again from the log as needed.
import type { RowBlock } from '../core/table/rowBlock.ts';
import { pixelColumns, quickColumns } from '../core/display/pyramid/window.ts';
import { sickSpells } from '../core/pipeline/sickSpells.ts';
import { SeriesWindows } from '../core/pipeline/windowSource.ts';
import { watchedSeries } from '../core/pipeline/watchedSeries.ts';
import type { Session } from '../core/session.ts';
import { SeriesValues } from '../core/strain/seriesValues.ts';
import { PlateStateReader } from '../core/strain/plateState.ts';
import type { SickSpell } from '../core/strain/sickSpell.ts';
import type { ByteSource } from '../core/table/byteSource.ts';
import { placeOfLine, placeOfRow, placeOfTime, readLines, readRows } from '../core/table/rowReader.ts';
import type { RowPlace } from '../core/table/rowReader.ts';
import { longestExcerpt } from '../messages/analysis.ts';
import type {
  AnalysisCalls,
  Excerpt,
  PlaceRequest,
  PlateState,
  WindowReply,
  WindowRequest,
} from '../messages/analysis.ts';
import type { Problem } from '../core/problem.ts';
import { worstFirst } from './summary.ts';

/** Layer marks of a plot stand no closer than this, in pixels. */
const layerMarkPixels = 8;

export class LogQueries implements AnalysisCalls {
  readonly #session: Session;
  readonly #source: ByteSource;
  /** Sampled rows that stand in until the log has been read. */
  readonly #sampled: RowBlock | undefined;
  #windows: SeriesWindows | undefined;
  #states: PlateStateReader | undefined;
  /** By the events of so many rows. */
  #sick: readonly SickSpell[] = [];
  #sickRows = -1;

  constructor(session: Session, source: ByteSource, sampled: RowBlock | undefined) {
    this.#session = session;
    this.#source = source;
    this.#sampled = sampled;
  }

  async window(request: WindowRequest): Promise<WindowReply> {
    if (!this.#session.basis) return emptyReply(request);
    if (this.#sampled) return this.#sampledWindow(request, this.#sampled);
    if (request.series.length === 0) return { ...emptyReply(request), layers: this.#layers(request) };
    const windows = (this.#windows ??= new SeriesWindows(this.#session, this.#source));
    const believed = this.#sickNow();
    const source = await windows.source(request.series, believed);
    const pixels = Math.max(1, Math.min(16_384, Math.round(request.pixels)));
    const columnsOf = request.quick ? quickColumns : pixelColumns;
    const drawn = await columnsOf(source, request.fromS, request.toS, pixels);
    const sick = request.series.map((id) => windows.sickOf(id, believed, request.fromS, request.toS));
    return { ...drawn, layers: this.#layers(request), sick };
  }

  async state(request: PlaceRequest): Promise<PlateState | undefined> {
    const { basis, index } = this.#session;
    if (!basis) return undefined;
    const { header, layouts, context } = basis;
    const sick = this.#sickNow();
    this.#states ??= new PlateStateReader(header, layouts, context, sick);
    const states = this.#states;
    if (this.#sampled) return 'timeS' in request ? this.#sampledState(request.timeS, this.#sampled) : undefined;
    const place = await this.#find(request);
    if (!place) return undefined;
    let state: PlateState | undefined;
    await readRows(this.#source, header, index!, place.row, place.row + 1, (block) => {
      state = states.at(block, 0);
    });
    return state;
  }

  async place(request: PlaceRequest): Promise<RowPlace | undefined> {
    const place = await this.#find(request);
    return place && { ...place, layer: Number.isNaN(place.layer) ? -1 : place.layer };
  }

  async excerpt(request: { line: number; before: number; after: number }): Promise<Excerpt> {
    const firstLine = Math.max(1, request.line - request.before);
    const count = Math.min(longestExcerpt, request.line - firstLine + request.after + 1);
    const { index } = this.#session;
    // Without an index every line before has to be read, too.
    const near = index !== undefined || firstLine <= longestExcerpt;
    return { firstLine, lines: near ? await readLines(this.#source, index, firstLine, count) : [] };
  }

  problems(request: { first: number; count: number }): Promise<readonly Problem[]> {
    const all = worstFirst(this.#session.problems);
    return Promise.resolve(all.slice(request.first, request.first + request.count));
  }

  /** The same array until other spells are known; none before events have been looked for. */
  #sickNow(): readonly SickSpell[] {
    const { basis, rows } = this.#session;
    if (!basis || this.#sickRows === rows) return this.#sick;
    this.#sickRows = rows;
    // Gathering the events costs.
    const sick = sickSpells(basis, this.#session.events);
    if (JSON.stringify(sick) === JSON.stringify(this.#sick)) return this.#sick;
    this.#states = undefined;
    return (this.#sick = sick);
  }

  async #find(request: PlaceRequest): Promise<RowPlace | undefined> {
    const { basis, index } = this.#session;
    if (!basis || !index || this.#sampled) return undefined;
    const { header } = basis;
    if ('row' in request) return placeOfRow(this.#source, header, index, request.row);
    if ('line' in request) return placeOfLine(this.#source, header, index, request.line);
    return placeOfTime(this.#source, header, index, request.timeS);
  }

  #layers({ series, fromS, toS, pixels }: WindowRequest): { layer: number; timeS: number }[] {
    const apart = series.length === 0 ? 0 : ((toS - fromS) / Math.max(1, pixels)) * layerMarkPixels;
    const marks: { layer: number; timeS: number }[] = [];
    let last = -Infinity;
    for (const { layer, timeS } of this.#session.index!.layerStarts) {
      if (timeS < fromS || timeS > toS || timeS - last < apart) continue;
      marks.push({ layer, timeS });
      last = timeS;
    }
    return marks;
  }

  #sampledWindow({ series, fromS, toS }: WindowRequest, rows: RowBlock): WindowReply {
    const { header, layouts, context } = this.#session.basis!;
    const waiting = new Set(watchedSeries(header).map(({ id }) => id));
    const computed = series.filter((id) => !waiting.has(id));
    const columns = new SeriesValues(header, layouts, context, computed, rows.rows + 1).compute(rows);
    // The detector's own series are known only once it has been there.
    const unknown = new Float64Array(rows.rows).fill(NaN);
    const values = series.map((id) => columns[computed.indexOf(id)] ?? unknown);
    const time = rows.columns[header.roles.time]!.subarray(0, rows.rows);
    const inside = time.findIndex((t) => t >= fromS);
    const from = Math.max(0, (inside < 0 ? rows.rows : inside) - 1);
    const past = time.findIndex((t) => t > toS);
    const to = past < 0 ? rows.rows : past + 1;
    return {
      columns: 0,
      timeS: time.slice(from, to),
      values: values.map((column) => column.slice(from, Math.min(to, rows.rows))),
      exact: false,
      sampled: true,
      layers: [],
    };
  }

  #sampledState(timeS: number, rows: RowBlock): PlateState | undefined {
    const time = rows.columns[this.#session.basis!.header.roles.time]!.subarray(0, rows.rows);
    const past = time.findIndex((t) => t > timeS);
    const row = Math.max(0, (past < 0 ? rows.rows : past) - 1);
    return rows.rows > 0 ? this.#states!.at(rows, row) : undefined;
  }
}

function emptyReply(request: WindowRequest): WindowReply {
  return {
    columns: 0,
    timeS: new Float64Array(0),
    values: request.series.map(() => new Float64Array(0)),
    exact: false,
    layers: [],
  };
}
