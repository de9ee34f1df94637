// The plate: its map at the cursor's time, or the traces of all cells in their places, or the map as a table.
import { svgText, type SvgNode } from '../../src/core/display/svg/svg.ts';
import { mapHeight, plateMap, type PlateMapInput } from '../../src/core/display/map/svgMap.ts';
import { clock } from '../../src/core/display/numberFormat.ts';
import { pictureGround, titledPicture } from '../../src/core/display/svg/titledPicture.ts';
import { sickCells } from '../../src/core/display/text/sickText.ts';
import type { Ground } from '../../src/core/display/colours.ts';
import type { PlateState } from '../../src/messages/analysis.ts';
import type { App } from '../app.ts';
import type { MapView, PlateView } from '../choices.ts';
import { button, dropdown, setPressed } from '../controls.ts';
import { element, panel } from '../element.ts';
import { markOutside } from '../goodBuilds/outsideMark.ts';
import { replaceKeepingFocus } from '../keptFocus.ts';
import { headOf, savePng, saveText } from '../save.ts';
import {
  besideEvent,
  changePairs,
  isEventView,
  isThroughThickness,
  mapViews,
  pairsOf,
  type PairView,
} from './mapPairs.ts';
import { mapKeys } from './mapKeys.ts';
import { MapScale } from './mapScale.ts';
import { plateTable } from './plateTable.ts';
import { StateAsker } from './stateAsker.ts';
import { surfaceChoices, surfaceField } from './surfaceField.ts';
import { drawnSvg } from './svgDom.ts';
import { Traces } from './traces.ts';

const plateViews: readonly { readonly value: PlateView; readonly text: string; readonly hint: string }[] = [
  { value: 'map', text: 'Map', hint: 'principal crosses at the cursor' },
  { value: 'traces', text: 'Traces', hint: 'every cell over time, in its place' },
  { value: 'table', text: 'Table', hint: 'the map in numbers' },
];

const pictureWidthPx = 720;
const pictureHeightPx = 760;

export class PlatePanel {
  readonly root: HTMLElement;
  readonly #app: App;
  readonly #mapHost = element('div', { class: 'map-host' });
  readonly #tableHost = element('div', {
    class: 'table-host',
    tabindex: 0,
    role: 'region',
    'aria-label': 'Plate as a table',
  });
  readonly #caption = element('p', { class: 'map-caption' });
  readonly #traces: Traces;
  readonly #view = dropdown('Crosses', (value) => this.#app.choices.set({ mapView: value as MapView }));
  readonly #surface = dropdown('Surface', (value) => this.#app.choices.set({ surface: value }));
  readonly #plane = dropdown('Plane', (value) => this.#app.choices.set({ plane: Number(value) }));
  readonly #viewButtons: readonly { readonly value: PlateView; readonly made: HTMLElement }[];
  /** Of the map, so only where it is seen. */
  readonly #savers: readonly HTMLElement[];
  readonly #states: StateAsker;
  #state: PlateState | undefined;
  readonly #scale: MapScale;

  constructor(app: App) {
    this.#app = app;
    const { section, bar } = panel('plate', 'Plate');
    this.root = section;
    this.#traces = new Traces(app);
    this.#scale = new MapScale(app, () => this.#draw());
    this.#states = new StateAsker(app, (state) => {
      this.#state = state;
      this.#draw();
    });
    this.#viewButtons = plateViews.map(({ value, text, hint }) => ({
      value,
      made: button(text, hint, () => app.choices.set({ plateView: value })),
    }));
    bar.append(
      element(
        'div',
        { class: 'switch', role: 'group', 'aria-label': 'Show the plate as' },
        this.#viewButtons.map(({ made }) => made),
      ),
      this.#view.root,
      this.#plane.root,
      this.#surface.root,
    );
    this.#savers = [
      button('SVG', 'Save the map as an SVG picture', () =>
        saveText(app, 'map.svg', 'image/svg+xml', svgText(this.#picture())),
      ),
      button(
        'PNG',
        'Save the map as a PNG picture',
        () => void app.attempt(() => savePng(app, 'map.png', this.#picture())),
      ),
    ];
    const foot = element('div', { class: 'bar foot' }, [this.#caption, ...this.#savers]);
    section.append(this.#mapHost, this.#traces.root, this.#tableHost, foot);
    mapKeys(app, this.#mapHost);
    new ResizeObserver(() => this.#draw()).observe(this.#mapHost);
    app.onLog(() => this.#logChanged());
    app.onTheme(() => this.#draw());
    app.choices.on(['cursorS', 'hoverS', 'mapView', 'eventId'], () => this.#ask());
    app.choices.on(['cell', 'comparedCell', 'plane', 'surface', 'plateView', 'mapView', 'eventId'], () => this.#show());
  }

  #logChanged(): void {
    const header = this.#app.summary?.header;
    this.root.hidden = !header || header.cells.length === 0;
    if (this.root.hidden) return;
    this.#show();
    this.#ask();
  }

  #show(): void {
    const { plateView, mapView, plane, cell, surface } = this.#app.choices.now;
    this.#mapHost.hidden = plateView !== 'map';
    this.#traces.root.hidden = plateView !== 'traces';
    this.#tableHost.hidden = plateView !== 'table';
    for (const { value, made } of this.#viewButtons) setPressed(made, value === plateView);
    for (const one of this.#savers) one.hidden = plateView !== 'map';
    this.#view.show(this.#offeredViews(), mapView);
    this.#view.root.hidden = plateView !== 'map';
    this.#surface.show(surfaceChoices, surface);
    this.#surface.root.hidden = plateView !== 'map';
    const planes = this.#app.planesOf(cell);
    const allPlanes = plateView === 'table' || (plateView === 'map' && isThroughThickness(mapView));
    this.#plane.root.hidden = planes.length < 2 || allPlanes;
    this.#plane.show(
      planes.map((one) => ({ value: String(one), text: this.#app.planeName(one) })),
      String(plane),
    );
    this.#traces.update();
    this.#draw();
  }

  #offeredViews(): { readonly value: string; readonly text: string }[] {
    const twoPlanes = this.#app.summary?.series.some(({ quantity }) => quantity === 'mx') ?? false;
    const event = this.#app.chosenEvent !== undefined;
    return mapViews
      .filter(({ value }) => !isThroughThickness(value) || twoPlanes)
      .filter(({ value }) => event || !isEventView(value));
  }

  #ask(): void {
    const { mapView } = this.#app.choices.now;
    const event = this.#app.chosenEvent;
    // Two rows to either side: the onset's own row belongs to neither.
    if (mapView === 'before' && event) this.#states.want({ row: Math.max(0, event.row - 2) });
    else if (mapView === 'after' && event) this.#states.want({ row: event.detectedRow });
    else this.#states.want({ timeS: this.#app.choices.timeS });
  }

  #pairView(): PairView {
    const { mapView, plane } = this.#app.choices.now;
    const event = this.#app.chosenEvent;
    if (mapView === 'difference' && event) return changePairs(event, plane, this.#app.planeName(plane));
    return pairsOf(mapView, this.#state, plane, this.#app.planeName(plane), event);
  }

  #input(widthPx: number, ground: Ground): Omit<PlateMapInput, 'heightPx'> {
    const { cell, comparedCell, plane, surface } = this.#app.choices.now;
    const header = this.#app.summary!.header!;
    const view = this.#pairView();
    return {
      ...view,
      header,
      plane,
      widthPx,
      ground,
      largest: this.#scale.largest(view.pairs, view.askedScale),
      event: this.#app.chosenEvent,
      field: surfaceField(surface, view, header.cells.length),
      chosenCell: cell,
      comparedCell,
    };
  }

  #draw(): void {
    const { summary, choices } = this.#app;
    if (!summary?.header) return;
    this.#caption.textContent = this.#captionText();
    if (choices.now.plateView === 'table') replaceKeepingFocus(this.#tableHost, plateTable(this.#app, this.#state));
    const width = this.#mapHost.clientWidth;
    if (choices.now.plateView !== 'map' || width < 40) return;
    const most = Math.max(320, 0.8 * window.innerHeight);
    const input = this.#input(width, this.#app.theme.ground);
    this.#mapHost.replaceChildren(drawnSvg(plateMap({ ...input, heightPx: Math.min(most, mapHeight(input)) })));
    markOutside(this.#mapHost, new Set(this.#app.goodBuilds?.outside.map(({ cell }) => cell)));
  }

  #captionText(): string {
    const { mapView, plateView } = this.#app.choices.now;
    const event = this.#app.chosenEvent;
    if (plateView === 'traces') return 'Click a trace to see its cell large.';
    if (plateView === 'map' && mapView === 'difference' && event)
      return [`${this.#pairView().caption}, at ${clock(event.timeS)}`, ...this.#sickCells()].join('. ');
    if (!this.#state) return 'No row at the cursor.';
    const layer = this.#state.layer >= 0 ? `, layer ${this.#state.layer}` : '';
    const what = plateView === 'table' ? `Principal strains${besideEvent(mapView, event)}` : this.#pairView().caption;
    // Sampled rows know their time, not their line.
    const line = this.#state.line > 0 ? `, line ${this.#state.line}` : '';
    const sick = plateView === 'table' ? [] : this.#sickCells();
    return [`${what} at ${clock(this.#state.timeS, 1)}${layer}${line}`, ...sick].join('. ');
  }

  #sickCells(): string[] {
    return sickCells(this.#pairView().pairs, (cell) => this.#app.cellName(cell));
  }

  #picture(): SvgNode {
    const { name, header } = this.#app.summary!;
    const input = { ...this.#input(pictureWidthPx, pictureGround), heightPx: pictureHeightPx };
    const lines = [headOf(name, header!.build.name), this.#captionText()];
    return titledPicture(lines, [plateMap(input)], pictureWidthPx, pictureHeightPx);
  }
}
