// What is drawn onto a plot besides its lines: events as bands with their kind or as ticks, layer ticks, the selection made in the text,
// lines of another log behind and error bands. All on the canvas, in its own pixels.
import type uPlot from 'uplot';
import { bandsAmong, tickPx, type EventSpan } from '../../src/core/display/plot/eventCrowd.ts';
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

/** Under the lines: selection, events, layer ticks. */
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
  const seen = inSight(plot, marks);
  const bands = bandsAmong(seen, bbox.width / devicePixelRatio);
  for (const one of seen) if (bands.has(one)) drawBand(plot, one, theme);
  // The gravest last, so that none hides it.
  for (const one of [...seen].reverse()) if (!bands.has(one)) drawTick(plot, one, theme);
  if (!small) {
    drawLayers(plot, marks.layers, theme);
    const taken: [number, number][] = [];
    // Only now, so that no other event's band runs through a name.
    for (const one of seen) if (bands.has(one)) drawEventName(plot, one, taken, theme);
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

interface SeenEvent extends EventSpan {
  readonly kind: string;
}

/** The chosen event first, then the graver ones; in CSS pixels from the plot's left edge. */
function inSight(plot: uPlot, { events, chosenEvent }: PlotMarks): SeenEvent[] {
  const { bbox } = plot;
  const at = (timeS: number): number => (plot.valToPos(timeS, 'x', true) - bbox.left) / devicePixelRatio;
  const rank = ({ chosen, severity }: SeenEvent): number => (chosen ? -1 : gravity[severity]);
  return events
    .map(({ id, kind, severity, timeS, endTimeS, detectedTimeS }) => {
      const fromPx = at(timeS);
      const knownEnd = Number.isFinite(endTimeS) ? endTimeS : detectedTimeS;
      const toPx = Math.max(fromPx + 2, at(Math.max(timeS, knownEnd)));
      return { kind, severity, fromPx, toPx, chosen: id === chosenEvent };
    })
    .filter(({ fromPx, toPx }) => toPx >= 0 && fromPx <= bbox.width / devicePixelRatio)
    .sort((a, b) => rank(a) - rank(b));
}

function drawBand(plot: uPlot, { severity, fromPx, toPx, chosen }: SeenEvent, theme: Theme): void {
  const { ctx, bbox } = plot;
  const ratio = devicePixelRatio;
  const left = bbox.left + fromPx * ratio;
  ctx.fillStyle = theme[severity];
  ctx.globalAlpha = chosen ? 0.4 : 0.2;
  ctx.fillRect(left, bbox.top, (toPx - fromPx) * ratio, bbox.height);
  ctx.globalAlpha = 1;
  ctx.fillRect(left, bbox.top, ratio, bbox.height);
}

function drawTick(plot: uPlot, { severity, fromPx, toPx }: SeenEvent, theme: Theme): void {
  const { ctx, bbox } = plot;
  const ratio = devicePixelRatio;
  ctx.fillStyle = theme[severity];
  ctx.globalAlpha = 1;
  ctx.fillRect(bbox.left + fromPx * ratio, bbox.top, (toPx - fromPx) * ratio, tickPx[severity] * ratio);
}

/** The kind beside the band's top on a ground of its own, unless a graver event's name stands there already. */
function drawEventName(plot: uPlot, { kind, chosen, toPx }: SeenEvent, taken: [number, number][], theme: Theme): void {
  const { ctx, bbox } = plot;
  const ratio = devicePixelRatio;
  ctx.font = `${chosen ? '600 ' : ''}${11 * ratio}px sans-serif`;
  ctx.textBaseline = 'top';
  ctx.textAlign = 'left';
  const width = ctx.measureText(kind).width;
  const right = bbox.left + bbox.width - width - 2 * ratio;
  const left = Math.max(Math.min(bbox.left + (toPx + 4) * ratio, right), bbox.left + 2 * ratio);
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
