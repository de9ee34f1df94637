// One quantity group of the chosen cell: heading with the lines' samples and their values at the cursor, and the plot.
import { fixed, measure, measureWithError, withUnit } from '../../src/core/display/numberFormat.ts';
import { dashes } from '../../src/core/display/colours.ts';
import { element } from '../element.ts';
import { drawnSvg } from '../map/svgDom.ts';
import { svg } from '../../src/core/display/svg.ts';
import type { Theme } from '../theme.ts';
import { CanvasPlot, type CanvasData, type PlotActions } from './canvasPlot.ts';
import { valueAt } from './plotData.ts';
import type { QuantityGroup } from './quantityGroups.ts';

export class PlotBox {
  readonly group: QuantityGroup;
  readonly root: HTMLElement;
  readonly plot: CanvasPlot;
  readonly #legend = element('dl', { class: 'legend' });
  #readings: HTMLElement[] = [];
  #shown = '';

  constructor(group: QuantityGroup, theme: Theme, actions: PlotActions) {
    this.group = group;
    const host = element('div', { class: 'plot-host' });
    this.root = element('figure', { class: 'plot-box', 'data-group': group.name }, [
      element('figcaption', {}, [element('h3', {}, [headingOf(group)]), this.#legend]),
      host,
    ]);
    this.plot = new CanvasPlot(host, theme, false, actions);
  }

  show(data: CanvasData, theme: Theme): void {
    this.plot.show(data);
    const titles = data.lines.map(({ title }) => title).join('\n') + theme.ground;
    if (titles === this.#shown) return;
    this.#shown = titles;
    this.#readings = data.lines.map(() => element('dd', {}, ['–']));
    this.#legend.replaceChildren(
      ...data.lines.flatMap(({ title, order }, i) => [
        element('dt', {}, [lineSample(order, theme), title]),
        this.#readings[i]!,
      ]),
    );
  }

  /** Shows each line's value at a time. */
  read(timeS: number): void {
    const data = this.plot.data;
    if (!data) return;
    const reachS = ((data.toS - data.fromS) / Math.max(1, this.plot.pixels)) * 3;
    data.lines.forEach(({ values, errors }, i) => {
      const raw = valueAt(data.timeS, values, timeS, Math.max(reachS, gapAround(data.timeS, timeS)));
      const value = data.axial ? ((raw % 180) + 180) % 180 : raw;
      const error = errors ? valueAt(data.timeS, errors, timeS, reachS) : NaN;
      const { unitLabel } = this.group;
      if (this.group.relative) {
        this.#readings[i]!.textContent = withUnit(fixed(value + (data.lines[i]!.offset ?? 0), 4), unitLabel);
        return;
      }
      this.#readings[i]!.textContent = errors ? measureWithError(value, error, unitLabel) : measure(value, unitLabel);
    });
  }
}

function headingOf({ title, unitLabel, relative }: QuantityGroup): string {
  if (relative) return `${title}, change since the left edge`;
  return unitLabel === '' ? title : `${title}, ${unitLabel}`;
}

/** Rows may lie further apart than pixels: half the distance between the two about the time still counts as near. */
function gapAround(timeS: Float64Array, atS: number): number {
  if (timeS.length < 2) return 0;
  const mean = (timeS.at(-1)! - timeS[0]!) / (timeS.length - 1);
  return atS < timeS[0]! - mean || atS > timeS.at(-1)! + mean ? 0 : mean;
}

/** A short piece of the line as it is drawn, so that colour is never the only key. */
function lineSample(order: number, theme: Theme): Element {
  const dash = dashes[order % dashes.length]!;
  return drawnSvg(
    svg('svg', { class: 'sample', width: 22, height: 10, 'aria-hidden': 'true' }, [
      svg('path', {
        d: 'M0 5h22',
        stroke: theme.lines[order % theme.lines.length]!,
        'stroke-width': 2,
        'stroke-dasharray': dash.length > 0 ? dash.join(' ') : undefined,
      }),
    ]),
  );
}
