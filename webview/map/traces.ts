// One small plot per cell, arranged as the cells lie on the plate, all with the same axes so that they can be compared.
import { cellGrid } from '../../src/core/display/map/cellGrid.ts';
import { cellSpacingM } from '../../src/core/display/map/mapGeometry.ts';
import { measure } from '../../src/core/display/numberFormat.ts';
import { valueRange } from '../../src/core/display/plot/svgPlot.ts';
import type { WindowReply, WindowRequest } from '../../src/messages/analysis.ts';
import type { App } from '../app.ts';
import { element } from '../element.ts';
import type { Header } from '../logTypes.ts';
import { CanvasPlot } from '../plots/canvasPlot.ts';
import { multiplied } from '../plots/plotData.ts';
import { quantityGroups, type QuantityGroup } from '../plots/quantityGroups.ts';
import { WindowAsker } from '../windows.ts';
import { nextCell, ways } from './mapKeys.ts';

interface Trace {
  readonly cell: number;
  readonly root: HTMLElement;
  readonly plot: CanvasPlot;
}

export class Traces {
  readonly root = element('div', { class: 'traces' });
  readonly #app: App;
  readonly #grid = element('div', { class: 'trace-grid' });
  readonly #caption = element('p', { class: 'trace-caption' });
  readonly #asker: WindowAsker;
  #traces: Trace[] = [];
  #groups: (QuantityGroup | undefined)[] = [];
  #header: Header | undefined;
  #reply: WindowReply | undefined;
  #request: WindowRequest | undefined;

  constructor(app: App) {
    this.#app = app;
    this.root.append(this.#caption, this.#grid);
    this.#grid.addEventListener('keydown', (event) => this.#key(event));
    this.#asker = new WindowAsker(
      (request) => app.host.calls.window(request),
      (reply, request) => this.#take(reply, request),
      (message) => (this.#caption.textContent = message),
    );
    new ResizeObserver(() => {
      this.#traces.forEach(({ plot }) => plot.resize());
      this.#want();
    }).observe(this.#grid);
    app.onTheme(() => this.#traces.forEach(({ plot }) => plot.setTheme(app.theme)));
    app.choices.on(['fromS', 'toS', 'groups', 'plane'], () => this.update());
    app.choices.on(['eventId', 'cell', 'comparedCell'], () => this.#mark());
    app.choices.on(['cursorS'], () => this.#moveCursor());
  }

  /** Called when the log changed or the traces came to be shown. */
  update(): void {
    const header = this.#app.summary?.header;
    if (!header || this.root.hidden) return;
    if (this.#layoutText(header) !== this.#layoutText(this.#header)) this.#build(header);
    this.#header = header;
    this.#want();
  }

  #layoutText(header: Header | undefined): string {
    return JSON.stringify(header?.cells ?? []);
  }

  #build(header: Header): void {
    this.#traces.forEach(({ plot }) => plot.destroy());
    const grid = cellGrid(header.cells, cellSpacingM(header.cells, header.plate.sizeM));
    this.#traces = header.cells.map(({ name }, cell) => {
      const { column, row } = grid.places[cell]!;
      const host = element('div', { class: 'trace-host' });
      const root = element('figure', { class: 'trace', 'data-cell': cell }, [
        element('figcaption', {}, [this.#chooser(name, cell)]),
        host,
      ]);
      root.style.setProperty('--column', String(column));
      root.style.setProperty('--row', String(row));
      const plot = new CanvasPlot(host, this.#app.theme, true, {
        onHover: (timeS) => this.#app.choices.set({ hoverS: timeS }),
        onPick: (timeS) => {
          this.#choose(cell);
          void this.#app.pick(timeS);
        },
        onZoom: (fromS, toS) => this.#app.zoom(fromS, toS),
      });
      return { cell, root, plot };
    });
    this.#grid.style.setProperty('--columns', String(grid.columns));
    this.#grid.replaceChildren(...this.#traces.map(({ root }) => root));
  }

  #chooser(name: string, cell: number): HTMLElement {
    const made = element('button', { type: 'button', class: 'trace-name', title: `Show cell ${name} large` }, [name]);
    made.addEventListener('click', () => this.#choose(cell));
    return made;
  }

  /** The Tab key stops at the names once, at the chosen cell; arrow keys go to the neighbour in that direction. */
  #key(event: KeyboardEvent): void {
    const way = ways[event.key];
    const at = this.#traces.findIndex(({ root }) => root.contains(document.activeElement));
    if (!way || at < 0) return;
    event.preventDefault();
    this.#choose(nextCell(this.#app, at, way));
    const next = this.#traces[this.#app.choices.now.cell];
    if (next) nameOf(next.root).focus();
  }

  #choose(cell: number): void {
    const { plane } = this.#app.choices.now;
    this.#app.choices.set({ cell, plane: this.#app.planeOf(cell, plane) });
  }

  #want(): void {
    const { summary, choices } = this.#app;
    if (!summary || this.root.hidden || this.#traces.length === 0) return;
    this.#groups = this.#traces.map(({ cell }) => {
      const offered = quantityGroups(summary.series, cell, this.#app.planeOf(cell, choices.now.plane));
      return offered.find(({ name }) => choices.now.groups.includes(name)) ?? offered[0];
    });
    const series = this.#groups.flatMap((group) => group?.lines.map((line) => line.series) ?? []);
    const pixels = Math.max(...this.#traces.map(({ plot }) => plot.pixels));
    this.#asker.want({ series: [...new Set(series)], ...this.#app.window, pixels });
  }

  #take(reply: WindowReply, request: WindowRequest): void {
    this.#reply = reply;
    this.#request = request;
    const { fromS, toS } = request;
    const { timeS } = reply;
    const valuesOf = (id: string, factor: number): Float64Array =>
      multiplied(reply.values[request.series.indexOf(id)] ?? new Float64Array(0), factor);
    const linesOf = this.#groups.map((group) =>
      (group?.lines ?? []).map((line, order) => ({ ...line, values: valuesOf(line.series, group!.factor), order })),
    );
    const shared = valueRange(linesOf.flat().map(({ title, values }) => ({ title, timeS, values })));
    this.#traces.forEach(({ plot }, i) => {
      const group = this.#groups[i];
      if (!group) return;
      const lines = linesOf[i]!;
      // Directions turn as they like: each cell keeps its own limits.
      plot.show({
        columns: reply.columns,
        fromS,
        toS,
        timeS,
        lines,
        behind: [],
        axial: group.axial,
        range: group.axial ? undefined : shared,
      });
    });
    this.#caption.textContent = this.#captionText(shared);
    this.#mark();
  }

  #captionText(shared: readonly [number, number]): string {
    const group = this.#groups.find((one) => one !== undefined);
    if (!group) return '';
    const names = group.lines.map(({ title }) => title).join(', ');
    const limits = group.axial
      ? 'each with its own limits'
      : `all from ${measure(shared[0], '')} to ${measure(shared[1], group.unitLabel)}`;
    return `${group.title} (${names}), ${limits}`;
  }

  #mark(): void {
    if (!this.#reply || !this.#request || this.root.hidden) return;
    const { eventId, cell: chosen, comparedCell } = this.#app.choices.now;
    const all = this.#app.summary?.events ?? [];
    for (const { cell, plot, root } of this.#traces) {
      const events = all.filter((event) => this.#app.concerns(event, cell));
      root.classList.toggle('chosen', cell === chosen);
      nameOf(root).tabIndex = cell === chosen ? 0 : -1;
      root.classList.toggle('compared', cell === comparedCell);
      root.classList.toggle(
        'concerned',
        events.some(({ id }) => id === eventId),
      );
      plot.setMarks({
        selectedFromS: NaN,
        selectedToS: NaN,
        events,
        chosenEvent: eventId,
        layers: [],
      });
    }
    this.#moveCursor();
  }

  #moveCursor(): void {
    if (this.root.hidden) return;
    for (const { plot } of this.#traces) plot.setCursor(this.#app.choices.now.cursorS);
  }
}

/** The button that a trace is named by. */
function nameOf(trace: HTMLElement): HTMLElement {
  return trace.querySelector<HTMLElement>('.trace-name')!;
}
