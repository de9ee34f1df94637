// One time plot: a thin hold on uPlot that takes windows as the analysis answers them, draws our marks, and tells of
// hovering, picking and zooming. The value axis is set by us, the time axis by the page.
import uPlot from 'uplot';
import { edgesWithin } from '../../src/core/display/plot/svgBand.ts';
import { valueRange } from '../../src/core/display/plot/svgPlot.ts';
import { clock, fixed } from '../../src/core/display/numberFormat.ts';
import { directionTicks, niceStep, niceTicks, timeTicks } from '../../src/core/display/ticks.ts';
import { dashes } from '../../src/core/display/colours.ts';
import { element } from '../element.ts';
import type { Theme } from '../theme.ts';
import type { DrawnBand } from '../../src/messages/goodBuilds.ts';
import { drawGoodBuilds } from '../goodBuilds/goodBuildBand.ts';
import { drawBehind, drawErrorBand, drawUnder, type BehindLine, type PlotMarks } from './marks.ts';
import { withNulls } from './plotData.ts';

export interface CanvasLine {
  readonly series: string;
  readonly errorSeries: string;
  readonly title: string;
  readonly values: Float64Array;
  readonly errors?: Float64Array | undefined;
  /** What was taken off the values to bring lines together; 0 or absent where nothing was. */
  readonly offset?: number | undefined;
  /** Place in the order of colours and dashes. */
  readonly order: number;
}

export interface CanvasData {
  /** As in the reply: 0 where the points are rows. */
  readonly columns: number;
  readonly fromS: number;
  readonly toS: number;
  readonly timeS: Float64Array;
  readonly lines: readonly CanvasLine[];
  readonly behind: readonly BehindLine[];
  /** Where good builds lie, one for each line that has a band. */
  readonly bands?: readonly DrawnBand[];
  readonly axial: boolean;
  /** Name of the log whose lines lie behind; '' or absent where there is none. */
  readonly behindName?: string;
  /** Said over the plot; '' or absent: nothing. */
  readonly note?: string | undefined;
  /** Limits of the value axis where several plots share them, or where it is cut; else the data's own. */
  readonly range?: readonly [number, number] | undefined;
}

export interface PlotActions {
  onHover(timeS: number): void;
  onPick(timeS: number): void;
  /** NaN, NaN: back to the whole log. */
  onZoom(fromS: number, toS: number): void;
}

const syncKey = 'underplate-time';
/** Room beside the drawing, CSS pixels: for the values, and for the right half of the last time. */
const leftPx = 62;
const rightPx = 30;

export class CanvasPlot {
  readonly #host: HTMLElement;
  readonly #actions: PlotActions;
  readonly #small: boolean;
  #plot: uPlot | undefined;
  #data: CanvasData | undefined;
  #marks: PlotMarks | undefined;
  #cursorS = NaN;
  /** The cursor is an element over the canvas: it moves at every frame of playing, and nothing is drawn anew. */
  readonly #cursorLine = element('div', { class: 'cursor-line' });
  #theme: Theme;
  #size = { width: 0, height: 0 };

  /** `small`: no axes, no labels. */
  constructor(host: HTMLElement, theme: Theme, small: boolean, actions: PlotActions) {
    this.#host = host;
    this.#theme = theme;
    this.#small = small;
    this.#actions = actions;
  }

  get data(): CanvasData | undefined {
    return this.#data;
  }

  /** Width of the drawing area in device pixels: what a window should be asked for. */
  get pixels(): number {
    const side = this.#small ? 0 : leftPx + rightPx;
    return Math.max(0, Math.round((this.#host.clientWidth - side) * devicePixelRatio));
  }

  show(data: CanvasData): void {
    const same = this.#data?.lines.length === data.lines.length && this.#data.axial === data.axial;
    this.#data = data;
    if (!same || !this.#plot) this.#rebuild();
    else this.#plot.setData(aligned(data), true);
  }

  setMarks(marks: PlotMarks): void {
    this.#marks = marks;
    this.#plot?.redraw(false);
  }

  setCursor(timeS: number): void {
    this.#cursorS = timeS;
    this.#placeCursor();
  }

  setTheme(theme: Theme): void {
    this.#theme = theme;
    if (this.#plot) this.#rebuild();
  }

  /** Fits the plot into its host again. */
  resize(): void {
    const { clientWidth: width, clientHeight: height } = this.#host;
    if (width === this.#size.width && height === this.#size.height) return;
    this.#size = { width, height };
    if (this.#plot && width > 0 && height > 0) this.#plot.setSize(this.#size);
    else if (this.#data) this.#rebuild();
  }

  destroy(): void {
    this.#plot?.destroy();
    this.#plot = undefined;
  }

  #rebuild(): void {
    this.#plot?.destroy();
    this.#plot = undefined;
    this.#size = { width: this.#host.clientWidth, height: this.#host.clientHeight };
    if (!this.#data || this.#size.width === 0 || this.#size.height === 0) return;
    this.#plot = new uPlot(this.#options(this.#data), aligned(this.#data), this.#host);
    this.#plot.over.append(this.#cursorLine);
    this.#placeCursor();
    this.#listen(this.#plot.over);
  }

  #placeCursor(): void {
    const x = this.#plot && !Number.isNaN(this.#cursorS) ? this.#plot.valToPos(this.#cursorS, 'x') : NaN;
    const inside = x >= 0 && x <= (this.#plot?.over.clientWidth ?? 0);
    this.#cursorLine.hidden = !inside;
    if (inside) this.#cursorLine.style.transform = `translateX(${Math.round(x)}px)`;
  }

  #options(data: CanvasData): uPlot.Options {
    return {
      ...this.#size,
      pxAlign: false,
      legend: { show: false },
      padding: this.#small ? [2, 2, 2, 2] : [8, rightPx, 0, 0],
      cursor: {
        y: false,
        points: { show: false },
        drag: { x: true, y: false, setScale: false, dist: 4 },
        sync: { key: syncKey, scales: ['x', null] },
        bind: { dblclick: () => () => null },
      },
      scales: {
        x: { time: false, range: () => [this.#data!.fromS, this.#data!.toS] },
        y: { range: () => this.#valueRange() },
      },
      axes: [this.#timeAxis(), this.#valueAxis()],
      series: [{}, ...data.lines.map((line) => this.#lineOptions(line))],
      hooks: {
        drawAxes: [(plot) => this.#drawUnder(plot)],
        draw: [() => this.#placeCursor()],
        setSelect: [(plot) => this.#zoomTo(plot)],
      },
    };
  }

  #lineOptions({ order }: CanvasLine): uPlot.Series {
    const { lines } = this.#theme;
    return {
      stroke: lines[order % lines.length]!,
      width: this.#small ? 1 : 1.25,
      dash: [...dashes[order % dashes.length]!],
      spanGaps: false,
      points: { show: false },
    };
  }

  #timeAxis(): uPlot.Axis {
    return {
      show: !this.#small,
      stroke: this.#theme.soft,
      font: this.#theme.font,
      size: 26,
      gap: 3,
      grid: { show: false },
      ticks: { stroke: this.#theme.soft, width: 1, size: 4 },
      splits: (_, __, min, max) => timeTicks(min, max, Math.max(2, this.#size.width / 100)),
      values: (_, splits) => splits.map((split) => clock(split, this.#data!.toS - this.#data!.fromS < 10 ? 1 : 0)),
    };
  }

  #valueAxis(): uPlot.Axis {
    return {
      show: !this.#small,
      stroke: this.#theme.soft,
      font: this.#theme.font,
      size: leftPx,
      gap: 4,
      grid: { stroke: this.#theme.grid, width: 0.5 },
      ticks: { show: false },
      splits: (_, __, min, max) =>
        (this.#data!.axial ? directionTicks : niceTicks)(min, max, Math.max(2, this.#size.height / 32)),
      values: (_, splits) => splits.map((split) => this.#valueText(split, splits)),
    };
  }

  #valueText(value: number, splits: readonly number[]): string {
    const step = splits.length > 1 ? splits[1]! - splits[0]! : niceStep(Math.abs(value) || 1, 1);
    const decimals = Math.min(9, Math.max(0, -Math.floor(Math.log10(step) + 1e-9)));
    return fixed(this.#data!.axial ? ((value % 180) + 180) % 180 : value, decimals);
  }

  #valueRange(): [number, number] {
    const { timeS, lines, behind, range, bands = [], fromS, toS } = this.#data!;
    if (range) return [range[0], range[1]];
    return valueRange([
      ...lines.map(({ values, errors, title }) => ({ title, timeS, values, errors })),
      ...behind.map((line) => ({ title: '', ...line })),
      ...bands.map((band) => ({ title: '', ...edgesWithin(band, fromS, toS) })),
    ]);
  }

  #drawUnder(plot: uPlot): void {
    if (this.#marks) drawUnder(plot, this.#marks, this.#theme, this.#small);
    for (const band of this.#data!.bands ?? []) {
      const line = this.#data!.lines.find(({ series }) => series === band.series);
      drawGoodBuilds(plot, band, this.#theme.lines[(line?.order ?? 0) % this.#theme.lines.length]!);
    }
    drawBehind(plot, this.#data!.behind, this.#theme);
    for (const { values, errors, order } of this.#data!.lines) {
      const colour = this.#theme.lines[order % this.#theme.lines.length]!;
      if (errors) drawErrorBand(plot, { timeS: this.#data!.timeS, values, errors, colour });
    }
  }

  #zoomTo(plot: uPlot): void {
    const { left, width } = plot.select;
    if (width < 4) return;
    const fromS = plot.posToVal(left, 'x');
    const toS = plot.posToVal(left + width, 'x');
    plot.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
    this.#actions.onZoom(fromS, toS);
  }

  #listen(over: HTMLElement): void {
    let pressedAt = NaN;
    const timeAt = (event: MouseEvent): number =>
      this.#plot!.posToVal(event.clientX - over.getBoundingClientRect().left, 'x');
    over.addEventListener('pointerdown', (event) => (pressedAt = event.clientX));
    over.addEventListener('pointerup', (event) => {
      if (Math.abs(event.clientX - pressedAt) < 4 && event.button === 0) this.#actions.onPick(timeAt(event));
    });
    over.addEventListener('pointermove', (event) => this.#actions.onHover(timeAt(event)));
    over.addEventListener('pointerleave', () => this.#actions.onHover(NaN));
    over.addEventListener('dblclick', () => this.#actions.onZoom(NaN, NaN));
    over.addEventListener('wheel', (event) => this.#wheel(event, timeAt(event)), { passive: false });
  }

  /** Ctrl and wheel zooms about the pointer; the wheel alone scrolls the page as everywhere. */
  #wheel(event: WheelEvent, aboutS: number): void {
    if (!event.ctrlKey && !event.metaKey) return;
    event.preventDefault();
    const factor = Math.exp(Math.sign(event.deltaY) * 0.25);
    const { fromS, toS } = this.#data!;
    this.#actions.onZoom(aboutS - (aboutS - fromS) * factor, aboutS + (toS - aboutS) * factor);
  }
}

function aligned({ timeS, lines }: CanvasData): uPlot.AlignedData {
  return [timeS, ...lines.map(({ values }) => withNulls(values))] as uPlot.AlignedData;
}
