// The band of good builds on a plot's canvas: steps from layer to layer, edged and hatched, so that it is told from the
// smooth error band and the event bands without colour.
import type uPlot from 'uplot';
import { bandOpacity, hatchPx, leastStepPx } from '../../src/core/display/plot/svgBand.ts';
import type { DrawnBand, GoodBuilds } from '../../src/messages/goodBuilds.ts';

/** What stands beside the plot for the band. */
export function bandName({ names, coverage }: GoodBuilds): string {
  return `band of ${names.length} good builds (${Math.round(coverage * 1000) / 10} %)`;
}

export function drawGoodBuilds(plot: uPlot, band: DrawnBand, colour: string): void {
  const { ctx, bbox } = plot;
  const ratio = devicePixelRatio;
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
  const area = new Path2D();
  const edges = new Path2D();
  const right = bbox.left + bbox.width;
  for (let at = 0; at < band.fromS.length; at++) {
    const from = plot.valToPos(band.fromS[at]!, 'x', true);
    const to = plot.valToPos(band.toS[at]!, 'x', true);
    if (to < bbox.left || from > right) continue;
    const high = plot.valToPos(band.high[at]!, 'y', true);
    const low = plot.valToPos(band.low[at]!, 'y', true);
    area.rect(from, high, Math.max(leastStepPx, to - from), low - high);
    for (const y of [high, low]) {
      edges.moveTo(from, y);
      edges.lineTo(Math.max(to, from + leastStepPx), y);
    }
  }
  ctx.fillStyle = colour;
  ctx.strokeStyle = colour;
  ctx.globalAlpha = bandOpacity.area;
  ctx.fill(area);
  ctx.globalAlpha = bandOpacity.edges;
  ctx.lineWidth = ratio;
  ctx.stroke(edges);
  ctx.clip(area);
  ctx.globalAlpha = bandOpacity.hatching;
  ctx.beginPath();
  for (let x = bbox.left - bbox.height; x < right; x += hatchPx * ratio) {
    ctx.moveTo(x, bbox.top + bbox.height);
    ctx.lineTo(x + bbox.height, bbox.top);
  }
  ctx.stroke();
  ctx.restore();
}
