// What a drawing of so many pixels needs of a stretch of time: per pixel column the first value, the two extremes in
// order of occurrence, and the last (M4: Jugel et al., PVLDB 7(10), 2014), so that a line drawn through them lights the
// same pixels as one through every row. Whole buckets inside a column come from the pyramid; the rows about each column
// edge, and windows of few rows, are read again from the log through `readRows`. Times in seconds, non-decreasing.
import { edgeAt, edgeTimes, firstReaching, type Edge } from './columnEdges.ts';
import { DirectionTrace, Extremes } from './extremes.ts';
import type { SeriesLevels } from './pyramidLevels.ts';

/** Rows per pixel column up to which the rows themselves are handed over. */
const rawRowsPerPixel = 4;

export interface RowRange {
  readonly from: number;
  readonly to: number;
}

/** Rows read again: their times, and one array per series of the source, in the units the pyramid was fed with. */
export interface RawRows {
  readonly timeS: Float64Array;
  readonly values: readonly Float64Array[];
}

export interface WindowSeries {
  readonly levels: SeriesLevels;
  /** Value on screen = value in the pyramid * scale. */
  readonly scale: number;
}

export interface WindowSource {
  /** The log's time column as a series of a pyramid with the same buckets. */
  readonly times: SeriesLevels;
  readonly series: readonly WindowSeries[];
  /** Answers in the order of `ranges`, which are ascending and disjoint. */
  readRows(ranges: readonly RowRange[]): Promise<readonly RawRows[]>;
  /** The same with the extremes of all series; absent where they are at hand. Until then some series have none. */
  readonly whole?: () => Promise<WindowSource>;
}

/** As WindowReply of the messages. A pixel column without rows is left out; NaN is a gap. */
export interface DrawnWindow {
  readonly columns: number;
  readonly timeS: Float64Array;
  readonly values: readonly Float64Array[];
  readonly exact: boolean;
}

/** Exact M4 columns of [fromS, toS], or the rows themselves (one more on each side) where there are few. */
export async function pixelColumns(
  source: WindowSource,
  fromS: number,
  toS: number,
  pixels: number,
): Promise<DrawnWindow> {
  const rows = knownRows(source);
  if (rows === 0 || !(toS >= fromS)) return emptyWindow(source);
  const bounds = edgeTimes(fromS, toS, pixels);
  const edges = [...bounds].map((time) => edgeAt(source.times, time, rows));
  const start = edges[0]!.from;
  const stop = edges[pixels]!.to;
  if (stop - start <= rawRowsPerPixel * pixels) {
    const [raw] = await source.readRows([{ from: start, to: stop }]);
    return rawWindow(source, trimmed(raw!, fromS, toS));
  }
  if (source.whole) return pixelColumns(await source.whole(), fromS, toS, pixels);
  const inner = source.series.map(({ levels }) => innerExtremes(levels, edges));
  const ranges = joined(edges);
  const blocks = await source.readRows(ranges);
  return assemble(source, bounds, edges, inner, { ranges, blocks });
}

/** Few rows as they are; else the sketch: what can be answered while the user still moves. */
export function quickColumns(source: WindowSource, fromS: number, toS: number, pixels: number): Promise<DrawnWindow> {
  const rows = knownRows(source);
  if (rows > 0 && toS >= fromS) {
    const start = edgeAt(source.times, fromS, rows).from;
    const stop = edgeAt(source.times, toS, rows).to;
    if (stop - start <= rawRowsPerPixel * pixels) return pixelColumns(source, fromS, toS, pixels);
  }
  return Promise.resolve(sketchColumns(source, fromS, toS, pixels));
}

/** The same from the pyramid alone, at once: edges only as sharp as a bucket, so `exact` is false. */
export function sketchColumns(source: WindowSource, fromS: number, toS: number, pixels: number): DrawnWindow {
  const rows = knownRows(source);
  if (rows === 0 || !(toS >= fromS)) return emptyWindow(source);
  const { times } = source;
  const cuts = [...edgeTimes(fromS, toS, pixels)].map((time) => firstReaching(times, time, rows));
  cuts[pixels] = Math.min(cuts[pixels]! + 1, Math.ceil(rows / times.bucketRows));
  const filled: number[] = [];
  for (let k = 0; k < pixels; k++) if (cuts[k]! < cuts[k + 1]!) filled.push(k);
  const out = newWindow(source, filled.length, false);
  const scratch = new Float64Array(2);
  filled.forEach((k, column) => {
    times.extremes(0, cuts[k]!, scratch);
    const first = Math.min(scratch[0]!, scratch[1]!);
    times.extremes(0, cuts[k + 1]! - 1, scratch);
    spreadTimes(out.timeS, column, first, Math.max(scratch[0]!, scratch[1]!));
  });
  source.series.forEach(({ levels, scale }, series) => {
    const gathered = new Extremes(levels.period);
    const trace = new DirectionTrace(levels.period);
    filled.forEach((k, column) => {
      gathered.reset();
      gathered.addBuckets(levels, cuts[k]!, cuts[k + 1]!, scratch);
      const { first, second } = gathered;
      writeColumn(out.values[series]!, column, first, first, second, second, scale, levels.period, trace);
    });
  });
  return out;
}

function knownRows(source: WindowSource): number {
  return Math.min(source.times.rows, ...source.series.map(({ levels }) => levels.rows));
}

/** Per column the pair of extremes over the whole buckets between its edges; NaN where there are none. */
function innerExtremes(levels: SeriesLevels, edges: readonly Edge[]): Float64Array {
  const out = new Float64Array(2 * (edges.length - 1)).fill(NaN);
  const gathered = new Extremes(levels.period);
  const scratch = new Float64Array(2);
  for (let k = 0; k + 1 < edges.length; k++) {
    if (edges[k + 1]!.from <= edges[k]!.to) continue;
    gathered.reset();
    gathered.addBuckets(levels, edges[k]!.beyond, edges[k + 1]!.reaching, scratch);
    out[2 * k] = gathered.first;
    out[2 * k + 1] = gathered.second;
  }
  return out;
}

/** The edges' row ranges with those that touch made one. */
function joined(edges: readonly Edge[]): RowRange[] {
  const ranges: { from: number; to: number }[] = [];
  for (const { from, to } of edges) {
    const last = ranges.at(-1);
    if (last && from <= last.to) last.to = Math.max(last.to, to);
    else if (from < to) ranges.push({ from, to });
  }
  return ranges;
}

interface EdgeRows {
  readonly ranges: readonly RowRange[];
  readonly blocks: readonly RawRows[];
}

function assemble(
  source: WindowSource,
  bounds: Float64Array,
  edges: readonly Edge[],
  inner: readonly Float64Array[],
  read: EdgeRows,
): DrawnWindow {
  const blockOf = edges.map(({ from }) => blockHolding(read.ranges, from));
  const cuts = edges.map(({ from, to }, k) => cutRow(read, blockOf[k]!, from, to, bounds[k]!));
  const filled: number[] = [];
  for (let k = 0; k + 1 < edges.length; k++) if (cuts[k]! < cuts[k + 1]!) filled.push(k);
  const out = newWindow(source, filled.length, true);
  filled.forEach((k, column) => {
    const first = read.blocks[blockOf[k]!]!.timeS[cuts[k]! - read.ranges[blockOf[k]!]!.from]!;
    const last = read.blocks[blockOf[k + 1]!]!.timeS[cuts[k + 1]! - 1 - read.ranges[blockOf[k + 1]!]!.from]!;
    spreadTimes(out.timeS, column, first, last);
  });
  source.series.forEach(({ levels, scale }, series) => {
    const gathered = new Extremes(levels.period);
    const trace = new DirectionTrace(levels.period);
    const gather = (block: number, from: number, to: number): void => {
      const values = read.blocks[block]!.values[series]!;
      const { from: zero } = read.ranges[block]!;
      for (let row = from; row < to; row++) gathered.add(values[row - zero]!);
    };
    filled.forEach((k, column) => {
      const left = blockOf[k]!;
      const right = blockOf[k + 1]!;
      gathered.reset();
      if (left === right) gather(left, cuts[k]!, cuts[k + 1]!);
      else {
        gather(left, cuts[k]!, edges[k]!.to);
        gathered.addPair(inner[series]![2 * k]!, inner[series]![2 * k + 1]!);
        gather(right, edges[k + 1]!.from, cuts[k + 1]!);
      }
      const first = read.blocks[left]!.values[series]![cuts[k]! - read.ranges[left]!.from]!;
      const last = read.blocks[right]!.values[series]![cuts[k + 1]! - 1 - read.ranges[right]!.from]!;
      const values = out.values[series]!;
      writeColumn(values, column, first, gathered.first, gathered.second, last, scale, levels.period, trace);
    });
  });
  return out;
}

function blockHolding(ranges: readonly RowRange[], row: number): number {
  let low = 0;
  let high = ranges.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (ranges[middle]!.from <= row) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** First row at or after `timeS`, looked for among the edge's rows. */
function cutRow(read: EdgeRows, block: number, from: number, to: number, timeS: number): number {
  const { timeS: times } = read.blocks[block]!;
  const zero = read.ranges[block]!.from;
  let row = from;
  while (row < to && times[row - zero]! < timeS) row++;
  return row;
}

/** The rows inside [fromS, toS] and one more at each end, so that lines run in from beyond the edges. */
function trimmed({ timeS, values }: RawRows, fromS: number, toS: number): RawRows {
  let from = 0;
  while (from < timeS.length && timeS[from]! < fromS) from++;
  let to = from;
  while (to < timeS.length && timeS[to]! <= toS) to++;
  from = Math.max(0, from - 1);
  to = Math.min(timeS.length, to + 1);
  return { timeS: timeS.subarray(from, to), values: values.map((column) => column.subarray(from, to)) };
}

function rawWindow(source: WindowSource, raw: RawRows): DrawnWindow {
  const values = source.series.map(({ levels, scale }, series) => {
    if (levels.period === 0) return raw.values[series]!.map((value) => value * scale);
    const trace = new DirectionTrace(levels.period);
    return raw.values[series]!.map((value) => trace.place(value) * scale);
  });
  return { columns: 0, timeS: raw.timeS.slice(), values, exact: true };
}

function newWindow(source: WindowSource, columns: number, exact: boolean): DrawnWindow {
  const timeS = new Float64Array(4 * columns);
  return { columns, timeS, values: source.series.map(() => new Float64Array(4 * columns)), exact };
}

function emptyWindow(source: WindowSource): DrawnWindow {
  return newWindow(source, 0, true);
}

function spreadTimes(timeS: Float64Array, column: number, first: number, last: number): void {
  for (let i = 0; i < 3; i++) timeS[4 * column + i] = first + ((last - first) * i) / 3;
  timeS[4 * column + 3] = last;
}

/** Writes one column of four points; a direction's column is turned as a whole to continue the trace. */
function writeColumn(
  out: Float64Array,
  column: number,
  first: number,
  extreme1: number,
  extreme2: number,
  last: number,
  scale: number,
  period: number,
  trace: DirectionTrace,
): void {
  const points = [first, extreme1, extreme2, last];
  if (period > 0) {
    const middle = (extreme1 + extreme2) / 2;
    const placed = trace.place(middle);
    points[1] = extreme1 - middle + placed;
    points[2] = extreme2 - middle + placed;
    points[0] = first - period * Math.round((first - placed) / period);
    points[3] = last - period * Math.round((last - placed) / period);
  }
  for (let i = 0; i < 4; i++) out[4 * column + i] = points[i]! * scale;
}
