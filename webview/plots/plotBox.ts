// One quantity group of the chosen cell: heading with the lines' samples and their values at the cursor, and the plot.
import { axisText, fixed, measureWithError, undefinedText, withUnit } from '../../src/core/display/numberFormat.ts';
import { dashes } from '../../src/core/display/colours.ts';
import { element } from '../element.ts';
import { drawnSvg } from '../map/svgDom.ts';
import { svg } from '../../src/core/display/svg/svg.ts';
import type { GoodBuilds } from '../../src/messages/goodBuilds.ts';
import { bandName } from '../goodBuilds/goodBuildBand.ts';
import type { Theme } from '../theme.ts';
import { CanvasPlot, type CanvasData, type PlotActions } from './canvasPlot.ts';
import { valueAt } from './plotData.ts';
import type { PointValues } from './pointReader.ts';
import type { QuantityGroup } from './quantityGroups.ts';

export class PlotBox {
  readonly group: QuantityGroup;
  readonly root: HTMLElement;
  readonly plot: CanvasPlot;
  readonly #legend = element('dl', { class: 'legend' });
  readonly #band = element('p', { class: 'band-key' });
  readonly #note = element('p', { class: 'sick-key' });
  #readings: HTMLElement[] = [];
  #shown = '';

  constructor(group: QuantityGroup, theme: Theme, actions: PlotActions) {
    this.group = group;
    const host = element('div', { class: 'plot-host' });
    this.root = element('figure', { class: 'plot-box', 'data-group': group.name }, [
      element('figcaption', {}, [element('h3', {}, [headingOf(group)]), this.#legend, this.#band, this.#note]),
      host,
    ]);
    this.plot = new CanvasPlot(host, theme, false, actions);
  }

  show(data: CanvasData, theme: Theme, goodBuilds?: GoodBuilds): void {
    this.#band.hidden = !goodBuilds || (data.bands ?? []).length === 0;
    if (goodBuilds) this.#band.replaceChildren(element('span', { class: 'hatch' }), bandName(goodBuilds));
    this.#note.hidden = !data.note;
    this.#note.textContent = data.note ?? '';
    this.plot.show(data);
    const second = data.behind.length > 0 ? (data.behindName ?? '') : '';
    const titles = [...data.lines.map(({ title }) => title), second, theme.ground].join('\n');
    if (titles === this.#shown) return;
    this.#shown = titles;
    this.#readings = data.lines.map(() => element('dd', {}, [undefinedText]));
    this.#legend.replaceChildren(
      ...data.lines.map(({ title, order }, i) =>
        element('div', {}, [element('dt', {}, [lineSample(order, theme), title]), this.#readings[i]!]),
      ),
      ...(second === '' ? [] : [element('div', { class: 'second-log' }, [secondLog(second, theme)])]),
    );
  }

  /**
   * Shows each line's value at a time: the row's own where `exact` has it, else about that of the drawing; none outside the
   * drawn time, since it would be read as a value of what is seen.
   */
  read(timeS: number, exact: PointValues | undefined): void {
    const data = this.plot.data;
    if (!data) return;
    if (!(timeS >= data.fromS && timeS <= data.toS)) {
      for (const reading of this.#readings) reading.textContent = undefinedText;
      return;
    }
    const known = exact?.timeS === timeS ? exact.bySeries : undefined;
    const exactly = (series: string): number | undefined => {
      const answered = known?.get(series);
      return answered === undefined ? undefined : answered * this.group.factor;
    };
    const reachS = Math.max((3 * (data.toS - data.fromS)) / Math.max(1, this.plot.pixels), meanGapS(data.timeS));
    data.lines.forEach((line, i) => {
      const drawn = (values: Float64Array): number => valueAt(data.timeS, values, timeS, reachS);
      const value = exactly(line.series) ?? drawn(line.values) + (line.offset ?? 0);
      const error = exactly(line.errorSeries) ?? (line.errors ? drawn(line.errors) : NaN);
      const about = known || data.columns === 0 || Number.isNaN(value) ? '' : '≈ ';
      this.#readings[i]!.textContent = about + this.#text(value, error);
    });
  }

  #text(value: number, error: number): string {
    const { unitLabel, relative, axial } = this.group;
    if (relative) return withUnit(fixed(value, 4), unitLabel);
    return axial ? axisText(value, error) : measureWithError(value, error, unitLabel);
  }
}

function headingOf({ title, unitLabel, relative }: QuantityGroup): string {
  if (relative) return `${title}, change since the left edge`;
  return unitLabel === '' ? title : `${title}, ${unitLabel}`;
}

/** Rows may lie further apart than pixels: their usual distance still counts as near. */
function meanGapS(timeS: Float64Array): number {
  return timeS.length < 2 ? 0 : (timeS.at(-1)! - timeS[0]!) / (timeS.length - 1);
}

/** Its lines are all of one kind, thin and faint: their values are not read out. */
function secondLog(name: string, theme: Theme): HTMLElement {
  return element('dt', {}, [sampleOf(theme.behind, 1, []), name]);
}

/** A short piece of the line as it is drawn, so that colour is never the only key. */
function lineSample(order: number, theme: Theme): Element {
  return sampleOf(theme.lines[order % theme.lines.length]!, 2, dashes[order % dashes.length]!);
}

function sampleOf(colour: string, width: number, dash: readonly number[]): Element {
  return drawnSvg(
    svg('svg', { class: 'sample', width: 22, height: 10, 'aria-hidden': 'true' }, [
      svg('path', {
        d: 'M0 5h22',
        stroke: colour,
        'stroke-width': width,
        'stroke-dasharray': dash.length > 0 ? dash.join(' ') : undefined,
      }),
    ]),
  );
}
