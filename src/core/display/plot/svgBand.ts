// The band in which good builds lie, on a drawn time plot: steps from layer to layer, edged and hatched, so that it is told
// from the smooth error band and the event bands without colour. Times in seconds, values as on screen.
import { coordinate, svg, type SvgNode } from '../svg/svg.ts';

/** One step a layer: from and to which time, and between which values. */
export interface StepBand {
  readonly fromS: Float64Array;
  readonly toS: Float64Array;
  readonly low: Float64Array;
  readonly high: Float64Array;
}

/** Places on the drawing, px; `y` downwards. */
export interface BandScales {
  readonly left: number;
  readonly right: number;
  x(timeS: number): number;
  y(value: number): number;
}

/** A step on the drawing: its corners, px. */
interface Step {
  readonly x0: number;
  readonly x1: number;
  readonly y0: number;
  readonly y1: number;
}

/** How the band looks, here and on a canvas: width of the hatching, and the least of a step, so that a thin layer shows. */
export const hatchPx = 7;
export const leastStepPx = 0.5;
export const bandOpacity = { area: 0.14, edges: 0.6, hatching: 0.3 } as const;

/** Both edges of the band inside a window, as a line for the value axis to hold. */
export function edgesWithin(band: StepBand, fromS: number, toS: number): { timeS: Float64Array; values: Float64Array } {
  const times: number[] = [];
  const values: number[] = [];
  band.fromS.forEach((start, at) => {
    if (band.toS[at]! < fromS || start > toS) return;
    times.push(start, start);
    values.push(band.low[at]!, band.high[at]!);
  });
  return { timeS: Float64Array.from(times), values: Float64Array.from(values) };
}

export function stepBand(band: StepBand, scales: BandScales, colour: string): SvgNode {
  const steps = stepsOf(band, scales);
  const areas = steps.map(
    ({ x0, x1, y0, y1 }) =>
      `M${coordinate(x0)} ${coordinate(y0)}H${coordinate(x1)}V${coordinate(y1)}H${coordinate(x0)}Z`,
  );
  const edges = steps.map(
    ({ x0, x1, y0, y1 }) =>
      `M${coordinate(x0)} ${coordinate(y0)}H${coordinate(x1)}M${coordinate(x0)} ${coordinate(y1)}H${coordinate(x1)}`,
  );
  return svg('g', { class: 'step-band' }, [
    svg('path', { d: areas.join(''), fill: colour, 'fill-opacity': bandOpacity.area }),
    svg('path', { d: edges.join(''), fill: 'none', stroke: colour, 'stroke-opacity': bandOpacity.edges }),
    svg('path', {
      d: steps.map(hatching).join(''),
      fill: 'none',
      stroke: colour,
      'stroke-opacity': bandOpacity.hatching,
    }),
  ]);
}

/** The same as a small sign for a legend. */
export function bandSign(x: number, y: number, width: number, height: number, colour: string): SvgNode {
  const step = { x0: x, x1: x + width, y0: y, y1: y + height };
  return svg('path', {
    d: `M${x} ${y}h${width}v${height}h${-width}Z${hatching(step)}`,
    fill: 'none',
    stroke: colour,
  });
}

function stepsOf({ fromS, toS, low, high }: StepBand, { left, right, x, y }: BandScales): Step[] {
  return Array.from(fromS, (from, at) => {
    const [x0, x1] = [x(from), x(toS[at]!)];
    return {
      x0: Math.max(left, x0),
      x1: Math.min(right, Math.max(x1, x0 + leastStepPx)),
      y0: y(high[at]!),
      y1: y(low[at]!),
    };
  }).filter(({ x0, x1, y0, y1 }) => x1 > x0 && Number.isFinite(y0) && Number.isFinite(y1));
}

/** The lines x + y = a multiple of the hatching's width inside a step, which go on from step to step. */
function hatching({ x0, x1, y0, y1 }: Step): string {
  let d = '';
  for (let sum = hatchPx * Math.ceil((x0 + y0) / hatchPx); sum < x1 + y1; sum += hatchPx) {
    const from = Math.max(x0, sum - y1);
    const to = Math.min(x1, sum - y0);
    if (to > from) d += `M${coordinate(from)} ${coordinate(sum - from)}L${coordinate(to)} ${coordinate(sum - to)}`;
  }
  return d;
}
