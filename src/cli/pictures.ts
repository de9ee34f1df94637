// Drawings of a checked log for reports and summaries: the whole build over time, an event over time, and the plate with
// the change at each cell. They ask the analysis for windows, so the log must have been analysed with its pyramid.
import type { CellChange, StrainEvent } from '../core/change/events.ts';
import { seriesName } from '../core/display/quantities.ts';
import type { SvgNode } from '../core/display/svg/svg.ts';
import { noChange, plateMap } from '../core/display/map/svgMap.ts';
import { timePlot } from '../core/display/plot/svgPlot.ts';
import type { PlotEvent } from '../core/display/plot/svgPlot.ts';
import { degrees, microstrain } from '../core/display/units.ts';
import type { LogHeader } from '../core/header/logHeader.ts';
import { principal } from '../core/strain/principal.ts';
import type { SeriesInfo } from '../messages/analysis.ts';
import type { CheckedLog } from './checkLogs.ts';

const ground = 'light';
/** Lines beyond this many cannot be told apart. */
const mostLines = 4;
/** How much of the log is shown on both sides of an event, in rows. */
const rowsAround = 90;

export interface PictureSize {
  readonly widthPx: number;
  readonly heightPx: number;
}

/** Larger principal strain of the cells that the events concern most, or of the first cells, over the whole log. */
export async function buildPlot(log: CheckedLog, size: PictureSize): Promise<SvgNode | undefined> {
  const { analysis, header } = log;
  if (!analysis || !header || analysis.summary.rows < 2) return undefined;
  const { startS, endS } = analysis.summary;
  const concerned = log.events.flatMap(({ event }) => event.cells.slice(0, 2));
  const whole = header.cells.map((_, cell) => ({ cell, plane: planeOf(header, cell) }));
  const ids = distinct([...concerned, ...whole].map((place) => rosetteSeries(header, place, 'e1')));
  return drawn(log, shown(log, ids), startS, endS, 'Larger principal strain', size);
}

/** What an event concerns, before and after it: principal strains of its cells, or the readings of its channels. */
export async function eventPlot(log: CheckedLog, event: StrainEvent, size: PictureSize): Promise<SvgNode | undefined> {
  const { header } = log;
  if (!header) return undefined;
  const [fromS, toS] = around(log, event);
  if (event.channels.length > 0) {
    const names = event.channels.map((channel) => header.channels[channel]?.name ?? '');
    return drawn(log, sameUnit(shown(log, names)), fromS, toS, 'Readings', size, event);
  }
  const ids = event.cells
    .slice(0, 2)
    .flatMap((place) => ['e1', 'e2'].map((suffix) => rosetteSeries(header, place, suffix)));
  return drawn(log, shown(log, ids), fromS, toS, 'Strain', size, event);
}

/** The principal direction at the strongest cell, with its standard error as a band. */
export async function directionPlot(
  log: CheckedLog,
  event: StrainEvent,
  size: PictureSize,
): Promise<SvgNode | undefined> {
  const { analysis, header } = log;
  const strongest = event.cells[0];
  if (!analysis || !header || !strongest || event.channels.length > 0) return undefined;
  const [fromS, toS] = around(log, event);
  const ids = ['dir', 'dir_err'].map((suffix) => rosetteSeries(header, strongest, suffix));
  const [series, error] = shown(log, ids);
  if (!series || !error) return undefined;
  const window = await analysis.calls.window({ series: [series.id, error.id], fromS, toS, pixels: size.widthPx });
  const [values, errors] = window.values as [Float64Array, Float64Array];
  if (!values.some(Number.isFinite)) return undefined;
  // In columns of extremes an error no longer belongs to its value.
  const line = {
    title: series.title,
    ...inside(window.timeS, values, fromS, toS),
    ...(window.columns === 0 && { errors: inside(window.timeS, errors, fromS, toS).values }),
  };
  const title = 'Principal direction';
  return timePlot({
    ...size,
    ground,
    title,
    unitLabel: degrees.unitLabel,
    axial: true,
    lines: [line],
    fromS,
    toS,
    events: marks(log, [event]),
  });
}

/** The plate with the change of strain at each cell as a principal cross, and the fitted origin. */
export function changeMap(header: LogHeader, event: StrainEvent, size: PictureSize): SvgNode {
  const seen = new Set<number>();
  const changes = event.cells.filter(({ cell, change }) => {
    const first = !seen.has(cell) && change.every(Number.isFinite);
    seen.add(cell);
    return first;
  });
  const pairs = changes.map(({ cell, change }) => {
    const { e1, e2, dirRad } = principal(...change);
    return { cell, first: e1, second: e2, dirDeg: (dirRad * 180) / Math.PI, dirErrorDeg: NaN };
  });
  return plateMap({
    ...size,
    header,
    pairs,
    ground,
    unitLabel: microstrain.unitLabel,
    unitScale: microstrain.scale,
    caption: 'change of strain at the event',
    noValue: noChange,
    plane: -1,
    event,
  });
}

async function drawn(
  log: CheckedLog,
  series: readonly SeriesInfo[],
  fromS: number,
  toS: number,
  title: string,
  size: PictureSize,
  only?: StrainEvent,
): Promise<SvgNode | undefined> {
  if (!log.analysis || series.length === 0 || !(toS > fromS)) return undefined;
  const ids = series.map(({ id }) => id);
  const window = await log.analysis.calls.window({ series: ids, fromS, toS, pixels: size.widthPx });
  const events = only ? [only] : log.events.map(({ event }) => event).filter(({ nature }) => nature === 'mechanical');
  return timePlot({
    ...size,
    ground,
    title,
    unitLabel: series[0]!.unitLabel,
    lines: window.values.map((values, at) => ({
      title: shortTitle(series[at]!),
      ...inside(window.timeS, values, fromS, toS),
    })),
    fromS,
    toS,
    events: only ? marks(log, events) : legible(marks(log, events), toS - fromS),
    ...(only && { layers: window.layers }),
  });
}

/** A window reaches one point beyond its ends; a drawing does not. */
function inside(
  timeS: Float64Array,
  values: Float64Array,
  fromS: number,
  toS: number,
): { timeS: Float64Array; values: Float64Array } {
  const within = (_: number, at: number): boolean => timeS[at]! >= fromS && timeS[at]! <= toS;
  return { timeS: timeS.filter(within), values: values.filter(within) };
}

function marks(log: CheckedLog, events: readonly StrainEvent[]): PlotEvent[] {
  const end = log.analysis?.summary.endS ?? 0;
  return events.map(({ kind, severity, timeS, endTimeS }) => ({
    kind,
    severity,
    timeS,
    endTimeS: Number.isFinite(endTimeS) ? Math.min(end, endTimeS) : NaN,
  }));
}

/** Names that would lie on each other are left out, their bands stay. */
function legible(events: readonly PlotEvent[], spanS: number): PlotEvent[] {
  let namedS = -Infinity;
  return [...events]
    .sort((a, b) => a.timeS - b.timeS)
    .map((event) => {
      if (event.timeS - namedS < spanS / 12) return { ...event, kind: '' };
      namedS = event.timeS;
      return event;
    });
}

export function around(log: CheckedLog, event: StrainEvent): [number, number] {
  const { startS, endS, rows } = log.analysis!.summary;
  const step = rows > 1 ? (endS - startS) / (rows - 1) : 1;
  const known = Math.max(event.detectedTimeS, Number.isFinite(event.endTimeS) ? event.endTimeS : event.timeS);
  const room = Math.max(rowsAround * step, 2 * (event.detectedTimeS - event.timeS));
  return [Math.max(startS, event.timeS - room), Math.min(endS, known + room)];
}

export function rosetteSeries(header: LogHeader, place: Pick<CellChange, 'cell' | 'plane'>, suffix: string): string {
  return seriesName(header.cells[place.cell]?.name ?? '', header.planes[place.plane]?.name ?? '', suffix);
}

function planeOf(header: LogHeader, cell: number): number {
  return header.channels.find((channel) => channel.cell === cell && Number.isFinite(channel.directionRad))?.plane ?? -1;
}

/** Those of the ids that the log offers, as many as can be told apart. */
function shown(log: CheckedLog, ids: readonly string[]): SeriesInfo[] {
  const known = new Map(log.analysis!.summary.series.map((series) => [series.id, series]));
  return distinct(ids)
    .flatMap((id) => known.get(id) ?? [])
    .slice(0, mostLines);
}

function sameUnit(series: readonly SeriesInfo[]): SeriesInfo[] {
  return series.filter(({ unitLabel }) => unitLabel === series[0]!.unitLabel);
}

function shortTitle({ id }: SeriesInfo): string {
  return id.replace(/_/g, ' ');
}

function distinct(ids: readonly string[]): string[] {
  return [...new Set(ids)];
}
