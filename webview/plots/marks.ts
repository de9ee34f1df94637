// What is drawn onto a plot besides its lines: event bands with their kind, layer ticks, the selection made in the text,
// lines of another log behind and error bands. All on the canvas, in its own pixels.
import type uPlot from 'uplot';
import type { SickSpell } from '../../src/messages/analysis.ts';
import type { StrainEvent } from '../logTypes.ts';
import type { Theme } from '../theme.ts';

export interface PlotMarks {
  readonly selectedFromS: number;
  readonly selectedToS: number;
  readonly events: readonly StrainEvent[];
  readonly chosenEvent: string;
  readonly layers: readonly { readonly layer: number; readonly timeS: number }[];
}

export interface BehindLine {
  readonly timeS: Float64Array;
  readonly values: Float64Array;
  /** What its cell does without or is doubtful by, in the second log's own time. */
  readonly sick?: readonly SickSpell[] | undefined;
}

export interface ErrorBand {
  readonly timeS: Float64Array;
  readonly values: Float64Array;
  readonly errors: Float64Array;
  readonly colour: string;
}

/** Under the lines: selection, event bands, layer ticks. */
export function drawUnder(plot: uPlot, marks: PlotMarks, theme: Theme, small: boolean): void {
  const { ctx, bbox } = plot;
  ctx.save();
  clipToPlot(ctx, bbox);
  if (marks.selectedToS > marks.selectedFromS) {
    ctx.globalAlpha = 0.35;
    ctx.fillStyle = theme.selection;
    const from = plot.valToPos(marks.selectedFromS, 'x', true);
    ctx.fillRect(from, bbox.top, plot.valToPos(marks.selectedToS, 'x', true) - from, bbox.height);
  }
  const rank = (event: StrainEvent): number => (event.id === marks.chosenEvent ? -1 : gravity[event.severity]);
  const drawn = [...marks.events]
    .sort((a, b) => rank(a) - rank(b))
    .map((event) => ({ event, chosen: event.id === marks.chosenEvent }))
    .map(({ event, chosen }) => ({ event, chosen, at: drawEvent(plot, event, chosen, theme) }));
  if (!small) {
    drawLayers(plot, marks.layers, theme);
    const taken: [number, number][] = [];
    // Only now, so that no other event's band runs through a name.
    for (const { event, chosen, at } of drawn)
      if (at !== undefined) drawEventName(plot, event.kind, chosen, at, taken, theme);
  }
  ctx.restore();
}

export function drawBehind(plot: uPlot, lines: readonly BehindLine[], theme: Theme): void {
  const { ctx, bbox } = plot;
  ctx.save();
  clipToPlot(ctx, bbox);
  ctx.strokeStyle = theme.behind;
  ctx.lineWidth = devicePixelRatio;
  for (const { timeS, values } of lines) {
    ctx.beginPath();
    let pen = false;
    for (let i = 0; i < timeS.length; i++) {
      if (!Number.isFinite(values[i]!)) {
        pen = false;
        continue;
      }
      const x = plot.valToPos(timeS[i]!, 'x', true);
      const y = plot.valToPos(values[i]!, 'y', true);
      if (pen) ctx.lineTo(x, y);
      else ctx.moveTo(x, y);
      pen = true;
    }
    ctx.stroke();
  }
  ctx.restore();
}

export function drawErrorBand(plot: uPlot, band: ErrorBand): void {
  const { ctx, bbox } = plot;
  ctx.save();
  clipToPlot(ctx, bbox);
  ctx.fillStyle = band.colour;
  ctx.globalAlpha = 0.22;
  let start = 0;
  const fill = (from: number, to: number): void => {
    if (to - from < 1) return;
    ctx.beginPath();
    for (let i = from; i < to; i++) {
      ctx.lineTo(plot.valToPos(band.timeS[i]!, 'x', true), plot.valToPos(band.values[i]! + band.errors[i]!, 'y', true));
    }
    for (let i = to - 1; i >= from; i--) {
      ctx.lineTo(plot.valToPos(band.timeS[i]!, 'x', true), plot.valToPos(band.values[i]! - band.errors[i]!, 'y', true));
    }
    ctx.fill();
  };
  for (let i = 0; i < band.timeS.length; i++) {
    if (Number.isFinite(band.values[i]! + band.errors[i]!)) continue;
    fill(start, i);
    start = i + 1;
  }
  fill(start, band.timeS.length);
  ctx.restore();
}

const gravity = { error: 0, warning: 1, information: 2 } as const;

/** Draws the band; answers with its right end, undefined where it is out of sight. */
function drawEvent(plot: uPlot, event: StrainEvent, chosen: boolean, theme: Theme): number | undefined {
  const { ctx, bbox } = plot;
  const ratio = devicePixelRatio;
  const from = plot.valToPos(event.timeS, 'x', true);
  const knownEnd = Number.isFinite(event.endTimeS) ? event.endTimeS : event.detectedTimeS;
  const to = Math.max(from + 2 * ratio, plot.valToPos(Math.max(event.timeS, knownEnd), 'x', true));
  if (to < bbox.left || from > bbox.left + bbox.width) return undefined;
  ctx.fillStyle = theme[event.severity];
  ctx.globalAlpha = chosen ? 0.4 : 0.2;
  ctx.fillRect(from, bbox.top, to - from, bbox.height);
  ctx.globalAlpha = 1;
  ctx.fillRect(from, bbox.top, ratio, bbox.height);
  return to;
}

/** The kind beside the band's top on a ground of its own, unless a graver event's name stands there already. */
function drawEventName(
  plot: uPlot,
  kind: string,
  chosen: boolean,
  at: number,
  taken: [number, number][],
  theme: Theme,
): void {
  const { ctx, bbox } = plot;
  const ratio = devicePixelRatio;
  ctx.font = `${chosen ? '600 ' : ''}${11 * ratio}px sans-serif`;
  ctx.textBaseline = 'top';
  ctx.textAlign = 'left';
  const width = ctx.measureText(kind).width;
  const right = bbox.left + bbox.width - width - 2 * ratio;
  const left = Math.max(Math.min(at + 4 * ratio, right), bbox.left + 2 * ratio);
  if (taken.some(([from, to]) => left < to + 4 * ratio && left + width > from - 4 * ratio)) return;
  taken.push([left, left + width]);
  ctx.globalAlpha = 0.85;
  ctx.fillStyle = theme.background;
  ctx.fillRect(left - ratio, bbox.top + ratio, width + 2 * ratio, 13 * ratio);
  ctx.globalAlpha = 1;
  ctx.fillStyle = theme.text;
  ctx.fillText(kind, left, bbox.top + 2 * ratio);
}

function drawLayers(plot: uPlot, layers: PlotMarks['layers'], theme: Theme): void {
  const { ctx, bbox } = plot;
  const ratio = devicePixelRatio;
  ctx.strokeStyle = theme.soft;
  ctx.globalAlpha = 0.7;
  ctx.lineWidth = ratio;
  ctx.beginPath();
  for (const { timeS } of layers) {
    const x = Math.round(plot.valToPos(timeS, 'x', true)) + 0.5;
    ctx.moveTo(x, bbox.top + bbox.height);
    ctx.lineTo(x, bbox.top + bbox.height - 5 * ratio);
  }
  ctx.stroke();
}

function clipToPlot(ctx: CanvasRenderingContext2D, { left, top, width, height }: uPlot['bbox']): void {
  ctx.beginPath();
  ctx.rect(left, top, width, height);
  ctx.clip();
}
