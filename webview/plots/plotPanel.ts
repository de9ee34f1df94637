// The large plots of the chosen cell, beside another cell and before another log where these are chosen.
import { clock } from '../../src/core/display/numberFormat.ts';
import { smallestRange } from '../../src/core/display/plot/svgPlot.ts';
import { isUnderWay } from '../../src/messages/analysis.ts';
import type { WindowReply, WindowRequest } from '../../src/messages/analysis.ts';
import type { App } from '../app.ts';
import { button } from '../controls.ts';
import { element, panel } from '../element.ts';
import { WindowAsker, type Pace } from '../windows.ts';
import type { CanvasPlot, CanvasData, CanvasLine } from './canvasPlot.ts';
import type { BehindLine } from './marks.ts';
import { PlotBox } from './plotBox.ts';
import { ErrorWindows } from './errorWindows.ts';
import { columnErrors, firstValue, multiplied } from './plotData.ts';
import { PlotChoice } from './plotChoice.ts';
import { plotKeys } from './plotKeys.ts';
import { plotNote } from './plotNotes.ts';
import { PointReader, type PointValues } from './pointReader.ts';
import { quantityGroups, type QuantityGroup } from './quantityGroups.ts';
import { ReferenceWindows } from './referenceWindows.ts';
import { exportButtons } from './plotExport.ts';

export class PlotPanel {
  readonly root: HTMLElement;
  readonly #app: App;
  readonly #stack = element('div', { class: 'plot-stack' });
  readonly #note = element('p', { class: 'plot-note', role: 'status' });
  readonly #readAt = element('p', { class: 'read-at' });
  readonly #choice: PlotChoice;
  readonly #asker: WindowAsker;
  readonly #errors: ErrorWindows;
  readonly #reference: ReferenceWindows;
  #boxes: PlotBox[] = [];
  readonly #points: PointReader;
  #exact: PointValues | undefined;
  #reply: WindowReply | undefined;
  #request: WindowRequest | undefined;
  #behind = new Map<string, BehindLine>();
  #said = { ofOwn: '', ofSecond: '' };
  #drawnLog = '';
  #askedPixels = 0;

  constructor(app: App) {
    this.#app = app;
    const { section, heading, bar } = panel('plots', 'Plots');
    this.root = section;
    this.#choice = new PlotChoice(app, heading, bar);
    this.#asker = new WindowAsker(
      (request) => app.host.calls.window(request),
      (reply, request) => this.#take(reply, request),
      (message) => this.#say(message),
    );
    this.#errors = new ErrorWindows(
      app,
      () => this.#reply && this.#draw(),
      (message) => this.#say(message),
    );
    this.#points = new PointReader(app, (values) => {
      this.#exact = values;
      this.#boxes.forEach((box) => box.read(app.choices.timeS, values));
    });
    this.#reference = new ReferenceWindows(app, (lines, note) => this.#takeBehind(lines, note));
    const foot = element('div', { class: 'bar' }, [
      ...exportButtons(app, () => this.drawn),
      button('Lines', 'Select the lines of the shown window in the text', () => void app.revealWindow()),
      button('Header', 'Show where the header declares this cell', () => this.#revealHeader()),
    ]);
    section.append(this.#choice.quantities, this.#note, this.#readAt, this.#stack, foot);
    plotKeys(app, this.#stack, () => this.#reply?.timeS);
    new ResizeObserver(() => this.#resized()).observe(this.#stack);
    app.onLog(() => this.#logChanged());
    app.onTheme(() => this.#boxes.forEach((box) => box.plot.setTheme(app.theme)));
    app.choices.on(['cell', 'plane', 'comparedCell', 'groups'], () => this.#logChanged());
    app.choices.on(['fromS', 'toS', 'alignReferenceBy'], () => this.#want());
    app.choices.on(['eventId', 'selectedFromS', 'selectedToS'], () => this.#mark());
    app.choices.on(['cursorS'], () => this.#moveCursor());
    // The library itself draws the line under the pointer: only the values follow it.
    app.choices.on(['hoverS'], () => this.#read());
  }

  /** What is drawn now, for exports. */
  get drawn(): readonly { readonly group: QuantityGroup; readonly plot: CanvasPlot }[] {
    return this.#boxes.map(({ group, plot }) => ({ group, plot }));
  }

  #revealHeader(): void {
    const channel = this.#app.summary?.header?.channels.find((one) => one.cell === this.#app.choices.now.cell);
    if (channel) this.#app.host.tell({ type: 'reveal', line: channel.line, preserveFocus: false });
  }

  #logChanged(): void {
    const { summary, choices } = this.#app;
    const cells = summary?.header?.cells ?? [];
    // Without a row there is nothing to draw, and axes would be made up. Sampled rows are drawn before they are counted,
    // and stay where reading was stopped then.
    const sampled = summary !== undefined && summary.endS > summary.startS;
    const empty = summary?.rows === 0 && !isUnderWay(summary.state) && !sampled;
    this.root.hidden = cells.length === 0 || empty;
    if (!summary || this.root.hidden) return;
    const { cell, plane } = choices.now;
    if (cell < 0 || cell >= cells.length) {
      choices.set({ cell: 0, plane: this.#app.planeOf(0, plane) });
      return;
    }
    if (this.#app.planeOf(cell, plane) !== plane) {
      choices.set({ plane: this.#app.planeOf(cell, plane) });
      return;
    }
    const groups = quantityGroups(summary.series, cell, plane);
    this.#choice.show(groups);
    this.#buildBoxes(groups);
    // While more is being learned of the same rows, what is drawn stays as it is.
    const { name, state, endS, datum } = summary;
    const settled = state === 'sampled' || state === 'drawn';
    const log = settled ? JSON.stringify([name, state, endS, datum, this.#series()]) : '';
    if (settled && log === this.#drawnLog) return;
    this.#drawnLog = log;
    this.#want(state === 'following' ? 'moving' : this.#reply ? 'drawn' : 'empty');
  }

  #buildBoxes(groups: readonly QuantityGroup[]): void {
    const { groups: chosen } = this.#app.choices.now;
    const offered = groups.filter(({ name }) => chosen.includes(name));
    // A cell without a tensor has none of the usual quantities: its fibres, or readings, are better than nothing.
    const wanted = offered.length === 0 && chosen.length > 0 ? groups.slice(0, 1) : offered;
    const same = JSON.stringify(wanted) === JSON.stringify(this.#boxes.map(({ group }) => group));
    if (same) return;
    this.#boxes.forEach((box) => box.plot.destroy());
    this.#reply = undefined;
    this.#exact = undefined;
    this.#behind.clear();
    this.#boxes = wanted.map(
      (group) =>
        new PlotBox(group, this.#app.theme, {
          onHover: (timeS) => this.#app.choices.set({ hoverS: timeS }),
          onPick: (timeS) => void this.#app.pick(timeS),
          onZoom: (fromS, toS) => this.#app.zoom(fromS, toS),
        }),
    );
    this.#stack.replaceChildren(...this.#boxes.map(({ root }) => root));
    this.#say(wanted.length === 0 ? 'Choose at least one quantity above to see it over time.' : '');
  }

  /** Series of the chosen cell and, for each, the compared cell's series of the same quantity. */
  #series(): string[] {
    return this.#ofLines(({ series }) => [series, this.#counterpart(series)]);
  }

  #errorSeries(): string[] {
    return this.#ofLines(({ errorSeries }) => [errorSeries]);
  }

  #ofLines(idsOf: (line: QuantityGroup['lines'][number]) => string[]): string[] {
    const ids = this.#boxes.flatMap(({ group }) => group.lines.flatMap(idsOf));
    return [...new Set(ids.filter((id) => id !== ''))];
  }

  /** The compared cell's series of the same quantity and plane, '' where there is none. */
  #counterpart(id: string): string {
    const { comparedCell } = this.#app.choices.now;
    const all = this.#app.summary?.series ?? [];
    const own = all.find((one) => one.id === id);
    if (comparedCell < 0 || !own || own.cell < 0 || own.quantity === '') return '';
    const fits = all.filter((one) => one.cell === comparedCell && one.quantity === own.quantity);
    return (fits.find(({ plane }) => plane === own.plane) ?? fits[0])?.id ?? '';
  }

  #want(pace: Pace = 'moving'): void {
    const pixels = this.#boxes[0]?.plot.pixels ?? 0;
    if (pixels === 0 || !this.#app.summary) return;
    this.#askedPixels = pixels;
    this.#asker.want({ series: this.#series(), ...this.#app.window, pixels }, pace);
    this.#reference.want(
      this.#boxes.flatMap(({ group }) => group.lines.map(({ series }) => series)),
      pixels,
    );
  }

  #take(reply: WindowReply, request: WindowRequest): void {
    this.#reply = reply;
    this.#request = request;
    // The lines first: both are read where the log is, and reading what errors need takes longest.
    if (reply.exact) this.#errors.want({ ...request, series: this.#errorSeries() });
    this.#say(reply.sampled ? 'Sampled: only part of the rows is drawn so far.' : '');
    this.#draw();
  }

  /** `ofOwn`: about this log's own lines; what there is to say of the second log's stays. */
  #say(ofOwn: string, ofSecond = this.#said.ofSecond): void {
    this.#said = { ofOwn, ofSecond };
    this.#note.textContent = [ofOwn, ofSecond].filter((text) => text !== '').join(' ');
  }

  #takeBehind(lines: Map<string, BehindLine>, note: string): void {
    this.#behind = lines;
    this.#say(this.#said.ofOwn, note);
    if (this.#reply) this.#draw();
  }

  #draw(): void {
    for (const box of this.#boxes) box.show(this.#dataOf(box.group), this.#app.theme, this.#app.goodBuilds);
    this.#mark();
  }

  #dataOf(group: QuantityGroup): CanvasData {
    const { fromS, toS } = this.#request!;
    const shown = (answered: Float64Array): Float64Array => multiplied(answered, group.factor);
    const values = (id: string): Float64Array | undefined => {
      const at = this.#request!.series.indexOf(id);
      return at < 0 ? undefined : shown(this.#reply!.values[at]!);
    };
    const lines: CanvasLine[] = [];
    const add = (id: string, title: string, errorId: string): void => {
      const found = values(id);
      const errors = errorId === '' ? undefined : this.#errors.of(errorId, this.#reply!);
      if (!found) return;
      const offset = group.relative ? firstValue(found) : 0;
      lines.push({
        series: id,
        errorSeries: errorId,
        title,
        offset,
        values: offset === 0 ? found : found.map((value) => value - offset),
        errors: errors && columnErrors(shown(errors), this.#reply!.columns),
        order: lines.length,
      });
    };
    for (const { series, title, errorSeries } of group.lines) add(series, title, errorSeries);
    const other = this.#app.cellName(this.#app.choices.now.comparedCell);
    for (const { series, title } of group.lines) add(this.#counterpart(series), `${title} of ${other}`, '');
    const behind = group.lines.flatMap(({ series }) => {
      const line = this.#behind.get(series);
      if (!line) return [];
      const offset = group.relative ? firstValue(line.values) : 0;
      const moved = offset === 0 ? line.values : line.values.map((value) => value - offset);
      return { ...line, values: shown(moved) };
    });
    const { columns, timeS } = this.#reply!;
    const drawn = new Set(group.lines.map(({ series }) => series));
    const compared = (this.#app.goodBuilds?.bands ?? []).filter(({ series }) => drawn.has(series));
    const bands = group.relative ? [] : compared; // readings have another zero than the bands
    const own = lines.flatMap(({ series }) => this.#reply!.sick?.[this.#request!.series.indexOf(series)] ?? []);
    const range = group.smallCounts ? smallestRange(lines) : undefined;
    const note = plotNote(this.#app, group, range !== undefined, own, behind);
    const behindName = this.#app.reference?.name ?? '';
    return { columns, fromS, toS, timeS, lines, behind, behindName, bands, axial: group.axial, note, range };
  }

  #mark(): void {
    const { selectedFromS, selectedToS, eventId, cell } = this.#app.choices.now;
    const events = (this.#app.summary?.events ?? []).filter(
      (event) => event.id === eventId || this.#app.concerns(event, cell),
    );
    for (const box of this.#boxes) {
      box.plot.setMarks({
        selectedFromS,
        selectedToS,
        events,
        chosenEvent: eventId,
        layers: this.#reply?.layers ?? [],
      });
    }
    this.#moveCursor();
  }

  #moveCursor(): void {
    for (const box of this.#boxes) box.plot.setCursor(this.#app.choices.now.cursorS);
    this.#read();
  }

  #read(): void {
    const { timeS } = this.#app.choices;
    for (const box of this.#boxes) box.read(timeS, this.#exact);
    this.#readAt.textContent = readAtText(timeS, this.#app.window);
    if (this.#reply && this.#reply.columns > 0 && this.#exact?.timeS !== timeS)
      this.#points.want(timeS, [...this.#series(), ...this.#errorSeries()]);
  }

  #resized(): void {
    for (const box of this.#boxes) box.plot.resize();
    if (this.#boxes[0]?.plot.pixels !== this.#askedPixels) this.#want();
  }
}

/** Which moment the values in the legends are of. */
function readAtText(timeS: number, { fromS, toS }: { readonly fromS: number; readonly toS: number }): string {
  if (Number.isNaN(timeS)) return '';
  const inside = timeS >= fromS && timeS <= toS;
  return inside ? `Values at ${clock(timeS, 1)}` : `The cursor, at ${clock(timeS, 1)}, lies outside the shown time.`;
}
