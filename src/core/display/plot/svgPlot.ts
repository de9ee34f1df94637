// A time plot as a drawing: series of one unit, events as bands with their kind, layer marks, an error band, another log
// behind. Pure; for the report, for exports and wherever no canvas is at hand. Times in seconds, values as on screen;
// NaN is a gap in a line. Points are drawn as given: M4 columns stay exact.
import { behindColour, dashes, seriesColours, type Ground } from '../colours.ts';
import type { Severity } from '../../problem.ts';
import { bandsAmong, tickPx, type EventSpan } from './eventCrowd.ts';
import { clock, fixed } from '../numberFormat.ts';
import { plotLegend, type PlotLegend } from './plotLegend.ts';
import { round, svg, type SvgNode } from '../svg/svg.ts';
import { edgesWithin, stepBand, type StepBand } from './svgBand.ts';
import { directionTicks, niceTicks, timeTicks } from '../ticks.ts';

export interface PlotLine {
  readonly title: string;
  readonly timeS: ArrayLike<number>;
  readonly values: ArrayLike<number>;
  /** Half-width of an error band about the line, same unit; left out where there is none. */
  readonly errors?: ArrayLike<number> | undefined;
  /** Drawn thin and faint: another log, for comparison; the first title among such lines names it. */
  readonly behind?: boolean | undefined;
}

export interface PlotEvent {
  readonly kind: string;
  readonly severity: Severity;
  readonly timeS: number;
  /** NaN for a lasting event. */
  readonly endTimeS: number;
}

/** Where good builds lie. */
export interface PlotBands {
  readonly title: string;
  /** Each with the index of the line, of those in front, whose colour it has. */
  readonly bands: readonly { readonly band: StepBand; readonly line: number }[];
}

export interface TimePlotInput {
  readonly title: string;
  readonly unitLabel: string;
  readonly lines: readonly PlotLine[];
  readonly fromS: number;
  readonly toS: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly ground: Ground;
  /** Directions: tick labels are given modulo 180. */
  readonly axial?: boolean | undefined;
  readonly events?: readonly PlotEvent[] | undefined;
  readonly goodBuilds?: PlotBands | undefined;
  /** Limits of the value axis; left out: what holds every value. */
  readonly range?: readonly [number, number] | undefined;
  readonly layers?: readonly { readonly layer: number; readonly timeS: number }[] | undefined;
  /** Said under the legend; left out: nothing. */
  readonly note?: string | undefined;
  /** A vertical line, e.g. the cursor. */
  readonly markS?: number | undefined;
}

const behindOnPaper = behindColour('light');
const leftPx = 58;
/** Room that the legend leaves at the right. */
const legendEdgePx = 4;

interface Scales {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  readonly x: (timeS: number) => number;
  readonly y: (value: number) => number;
  readonly low: number;
  readonly high: number;
}

export function timePlot(input: TimePlotInput): SvgNode {
  const { widthPx, heightPx, title } = input;
  const legend = legendOf(input);
  const scales = scalesOf(input, legend.heightPx);
  const colours = seriesColours(input.ground);
  const events = (input.events ?? []).filter((event) => isInSight(event, input)).map((event) => spanOf(event, scales));
  const bands = bandsAmong(events, scales.right - scales.left);
  let front = 0;
  const drawn = input.lines.map((line) => {
    const order = line.behind ? 0 : front++;
    return lineMarks(line, scales, colours[order % colours.length]!, dashes[order % dashes.length]!);
  });
  return svg(
    'svg',
    {
      class: 'time-plot',
      viewBox: `0 0 ${widthPx} ${heightPx}`,
      width: widthPx,
      height: heightPx,
      role: 'img',
      'aria-label': `${title} over time`,
    },
    [
      ...[...events].sort(gravestLast).map((event) => eventMark(event, scales, bands.has(event))),
      grid(input, scales),
      // After all bands, so that none runs through a name.
      ...[...bands].map((event) => eventName(event, scales)),
      ...(input.goodBuilds?.bands ?? []).map(({ band, line }) =>
        stepBand(band, scales, colours[line % colours.length]!),
      ),
      svg('g', { class: 'lines' }, drawn.flat()),
      input.markS === undefined
        ? undefined
        : svg('path', { class: 'mark', d: `M${round(scales.x(input.markS))} ${scales.top}V${scales.bottom}` }),
      legend.mark,
    ],
  );
}

/** Lowest and highest defined value, widened to a little more than both; [0, 1] where nothing is defined. */
export function valueRange(lines: readonly PlotLine[]): [number, number] {
  let low = Infinity;
  let high = -Infinity;
  for (const { values, errors } of lines) {
    for (let i = 0; i < values.length; i++) {
      const error = errors && Number.isFinite(errors[i]!) ? errors[i]! : 0;
      if (values[i]! - error < low) low = values[i]! - error;
      if (values[i]! + error > high) high = values[i]! + error;
    }
  }
  if (!(low <= high) || !Number.isFinite(high - low)) return [0, 1];
  const room = (high - low || Math.abs(high) || 1) * 0.06;
  return [low - room, high + room];
}

/** For what is only of interest where it is small, as a margin: from zero to four times the smallest value, at least 1. */
export function smallestRange(lines: readonly Pick<PlotLine, 'values'>[]): [number, number] | undefined {
  let low = Infinity;
  let high = -Infinity;
  for (const { values } of lines) {
    for (let i = 0; i < values.length; i++) {
      if (values[i]! < low) low = values[i]!;
      if (values[i]! > high && values[i]! < Infinity) high = values[i]!;
    }
  }
  const top = Math.max(1, 4 * low);
  return low <= high && high > top ? [Math.min(0, 1.06 * low), top] : undefined;
}

/** `top`: where the legend ends. */
function scalesOf(input: TimePlotInput, top: number): Scales {
  const { fromS, toS, goodBuilds, lines } = input;
  const edges = (goodBuilds?.bands ?? []).map(({ band }) => ({ title: '', ...edgesWithin(band, fromS, toS) }));
  const [low, high] = input.range ?? valueRange([...lines, ...edges]);
  // On the right there is room for the right half of the last time.
  const edge = { left: leftPx, right: input.widthPx - 30, top, bottom: input.heightPx - 30 };
  const span = input.toS - input.fromS || 1;
  return {
    ...edge,
    low,
    high,
    x: (timeS) => edge.left + ((timeS - input.fromS) / span) * (edge.right - edge.left),
    // What lies beyond the axis runs along its end.
    y: (value) =>
      edge.bottom - ((Math.max(low, Math.min(high, value)) - low) / (high - low)) * (edge.bottom - edge.top),
  };
}

function grid(input: TimePlotInput, scales: Scales): SvgNode {
  const { left, right, top, bottom } = scales;
  const ticks = (input.axial ? directionTicks : niceTicks)(scales.low, scales.high, 5);
  const step = ticks.length > 1 ? ticks[1]! - ticks[0]! : scales.high - scales.low;
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  const marks: SvgNode[] = [];
  for (const value of ticks) {
    const y = scales.y(value);
    const label = fixed(input.axial ? ((value % 180) + 180) % 180 : value, Math.min(6, decimals));
    marks.push(
      svg('path', { class: 'grid', d: `M${left} ${round(y)}H${right}` }),
      svg('text', { class: 'tick', x: left - 6, y: y + 3.5, 'text-anchor': 'end' }, [label]),
    );
  }
  for (const time of timeTicks(input.fromS, input.toS, Math.max(2, (right - left) / 90))) {
    const x = scales.x(time);
    marks.push(
      svg('path', { class: 'axis', d: `M${round(x)} ${bottom}v4` }),
      svg('text', { class: 'tick', x, y: bottom + 16, 'text-anchor': 'middle' }, [clock(time)]),
    );
  }
  for (const { timeS } of input.layers ?? []) {
    const x = scales.x(timeS);
    if (x >= left && x <= right) marks.push(svg('path', { class: 'layer', d: `M${round(x)} ${bottom}v-4` }));
  }
  marks.push(svg('path', { class: 'axis', d: `M${left} ${top}V${bottom}H${right}` }));
  marks.push(svg('text', { class: 'tick', x: right, y: bottom + 28, 'text-anchor': 'end' }, ['time, h:mm:ss']));
  return svg('g', { class: 'axes' }, marks);
}

function isInSight({ timeS, endTimeS }: PlotEvent, { fromS, toS }: TimePlotInput): boolean {
  return timeS <= toS && (Number.isFinite(endTimeS) ? endTimeS : timeS) >= fromS;
}

interface SeenEvent extends EventSpan {
  readonly kind: string;
}

function spanOf({ kind, severity, timeS, endTimeS }: PlotEvent, { left, right, x }: Scales): SeenEvent {
  const fromPx = Math.max(left, x(timeS));
  const toPx = Number.isFinite(endTimeS) ? Math.min(right, x(endTimeS)) : fromPx;
  return { kind, severity, fromPx, toPx: Math.max(fromPx + 2, toPx), chosen: false };
}

function gravestLast(a: SeenEvent, b: SeenEvent): number {
  return tickPx[a.severity] - tickPx[b.severity];
}

function eventMark({ severity, fromPx, toPx }: SeenEvent, { top, bottom }: Scales, band: boolean): SvgNode {
  const height = band ? bottom - top : tickPx[severity];
  return svg('g', { class: `event ${severity}${band ? '' : ' at-edge'}` }, [
    svg('rect', { x: fromPx, y: top, width: toPx - fromPx, height }),
  ]);
}

function eventName({ kind, fromPx }: SeenEvent, { right, top }: Scales): SvgNode {
  return svg('text', { class: 'event-name', x: Math.min(fromPx + 4, right - 40), y: top + 11 }, [kind]);
}

function lineMarks(line: PlotLine, scales: Scales, colour: string, dash: readonly number[]): SvgNode[] {
  const marks: SvgNode[] = [];
  if (line.errors) marks.push(svg('path', { d: bandPath(line, scales), fill: colour, 'fill-opacity': '0.2' }));
  marks.push(
    svg('path', {
      d: linePath(line, scales),
      fill: 'none',
      stroke: line.behind ? behindOnPaper : colour,
      'stroke-width': line.behind ? 1 : 1.4,
      'stroke-dasharray': !line.behind && dash.length > 0 ? dash.join(' ') : undefined,
      'stroke-linejoin': 'round',
    }),
  );
  return marks;
}

function linePath({ timeS, values }: PlotLine, scales: Scales): string {
  let d = '';
  let pen = false;
  for (let i = 0; i < timeS.length; i++) {
    const value = values[i]!;
    if (!Number.isFinite(value)) {
      pen = false;
      continue;
    }
    d += `${pen ? 'L' : 'M'}${round(scales.x(timeS[i]!))} ${round(scales.y(value))}`;
    // A lone point between gaps still shows, as a dot the width of the line.
    if (!pen && !Number.isFinite(values[i + 1] ?? NaN)) d += 'h0.1';
    pen = true;
  }
  return d;
}

/** One polygon per unbroken stretch, there along value + error and back along value - error. */
function bandPath({ timeS, values, errors }: PlotLine, scales: Scales): string {
  let d = '';
  let back: string[] = [];
  const close = (): void => {
    if (back.length > 0) d += `L${back.reverse().join('L')}Z`;
    back = [];
  };
  for (let i = 0; i < timeS.length; i++) {
    const [value, error] = [values[i]!, errors![i]!];
    if (!Number.isFinite(value) || !Number.isFinite(error)) {
      close();
      continue;
    }
    const x = round(scales.x(timeS[i]!));
    d += `${back.length > 0 ? 'L' : 'M'}${x} ${round(scales.y(value + error))}`;
    back.push(`${x} ${round(scales.y(value - error))}`);
  }
  close();
  return d;
}

function legendOf(input: TimePlotInput): PlotLegend {
  const { title, unitLabel, lines, goodBuilds, note = '', ground, widthPx } = input;
  const [first] = goodBuilds?.bands ?? [];
  return plotLegend(
    {
      ...{ title, unitLabel, note, colours: seriesColours(ground), behindColour: behindOnPaper },
      titles: lines.filter((line) => !line.behind).map((line) => line.title),
      behind: lines.find((line) => line.behind && line.title !== '')?.title ?? '',
      band: goodBuilds && first && { title: goodBuilds.title, line: first.line },
    },
    leftPx,
    widthPx - leftPx - legendEdgePx,
  );
}
