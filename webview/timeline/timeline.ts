// The whole build as one strip (strip.ts draws it): drag chooses the window, a click or the slider beneath moves the
// cursor, and the build can be played.
import { clock, countOf } from '../../src/core/display/numberFormat.ts';
import type { WindowReply } from '../../src/messages/analysis.ts';
import type { App } from '../app.ts';
import { button, setText } from '../controls.ts';
import { element } from '../element.ts';
import { drawnSvg } from '../map/svgDom.ts';
import { Player } from './player.ts';
import { RowStepper } from './rowStepper.ts';
import { stripDrawing } from './strip.ts';

const steps = 10000;
/** Rows that a key of the slider moves on by; every other key does as always, in parts of the whole build. */
const rowKeys: Readonly<Record<string, number>> = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 };

export class Timeline {
  readonly root: HTMLElement;
  readonly #app: App;
  readonly #strip = element('div', { class: 'strip' });
  readonly #slider = element('input', { type: 'range', min: 0, max: steps, step: 1, 'aria-label': 'Time cursor' });
  readonly #readOut = element('output', { class: 'read-out' });
  readonly #spoken = element('p', { class: 'spoken', 'aria-live': 'polite' });
  readonly #player: Player;
  readonly #rows: RowStepper;
  readonly #playButton: HTMLElement;
  readonly #selection = button('Selected lines', 'Show the time of the lines selected in the text', () =>
    this.#app.zoom(this.#app.choices.now.selectedFromS, this.#app.choices.now.selectedToS),
  );
  readonly #datum = button('Use as datum', 'Call the mean over the shown window zero strain', () =>
    this.#app.host.tell({ type: 'settings', datum: this.#app.window }),
  );
  readonly #layerButtons = [
    button('‹ layer', 'Go to the start of the layer before', () => this.#stepLayer(-1)),
    button('layer ›', 'Go to the start of the next layer', () => this.#stepLayer(1)),
  ];
  #layers: WindowReply['layers'] = [];
  #layersFor = '';
  /** Where the cursor was put without being asked. */
  #unaskedS = NaN;
  #endBeforeS = NaN;
  #speak: ReturnType<typeof setTimeout> | undefined;

  constructor(app: App) {
    this.#app = app;
    this.#player = new Player(
      app,
      () => this.#layers,
      (playing) => setText(this.#playButton, playing ? '❚❚' : '▶', playing ? 'Pause' : 'Play the build'),
    );
    this.#rows = new RowStepper(app, () => (this.#span().end - this.#span().start) / steps);
    this.#playButton = button('▶', 'Play the build', () => this.#player.toggle());
    const bar = element('div', { class: 'bar' }, [
      this.#playButton,
      ...this.#layerButtons,
      button('‹ event', 'Go to the listed event before', () => this.#stepEvent(-1)),
      button('event ›', 'Go to the next listed event', () => this.#stepEvent(1)),
      button('Whole build', 'Show all of the time again', () => app.choices.set({ fromS: NaN, toS: NaN })),
      this.#selection,
      this.#datum,
      button('Note…', 'Write a note on the line at the cursor', () =>
        app.host.tell({ type: 'addNote', timeS: app.choices.now.cursorS, cell: app.choices.now.cell, eventId: '' }),
      ),
      this.#readOut,
    ]);
    this.root = element('section', { class: 'panel timeline', 'aria-label': 'Timeline' }, [
      this.#strip,
      this.#slider,
      bar,
      this.#spoken,
    ]);
    this.#slider.addEventListener('input', () => this.#slide());
    this.#slider.addEventListener('change', () => void app.revealTime(app.choices.now.cursorS, true));
    this.#slider.addEventListener('keydown', (event) => this.#key(event));
    this.#listen();
    new ResizeObserver(() => this.#draw()).observe(this.#strip);
    app.onLog(() => this.#logChanged());
    app.choices.on(['fromS', 'toS', 'eventId', 'cursorS', 'hoverS', 'selectedFromS', 'selectedToS'], () =>
      this.#draw(),
    );
  }

  #span(): { start: number; end: number } {
    const start = this.#app.summary?.startS ?? 0;
    return { start, end: Math.max(start + 1e-3, this.#app.summary?.endS ?? 0) };
  }

  #logChanged(): void {
    const { summary } = this.#app;
    this.root.hidden = !summary?.header || !(summary.endS > summary.startS);
    if (this.root.hidden || !summary) return;
    for (const one of this.#layerButtons) one.hidden = summary.lastLayer < 0;
    this.#standWhereItMatters();
    void this.#askLayers();
    this.#draw();
  }

  /**
   * While the user has moved nothing, the gravest event so far is shown; a cursor at the end stays at the end of a log
   * that grows.
   */
  #standWhereItMatters(): void {
    const { choices, summary } = this.#app;
    const { cursorS } = choices.now;
    if (Number.isNaN(cursorS) || cursorS === this.#unaskedS) this.#unaskedS = firstSight(this.#app);
    else if (cursorS === this.#endBeforeS) choices.set({ cursorS: summary!.endS });
    this.#endBeforeS = summary!.endS;
  }

  async #askLayers(): Promise<void> {
    const { summary, host } = this.#app;
    const wanted = `${summary!.lastLayer} ${summary!.state}`;
    if (summary!.lastLayer < 0 || wanted === this.#layersFor) return;
    this.#layersFor = wanted;
    const { start, end } = this.#span();
    const request = { series: [], fromS: start, toS: end, pixels: 1, quick: true };
    try {
      this.#layers = (await host.calls.window(request)).layers;
      this.#draw();
    } catch {
      this.#layersFor = ''; // Not read yet: the next summary asks again.
    }
  }

  #draw(): void {
    const width = this.#strip.clientWidth;
    if (width < 40 || !this.#app.summary || this.root.hidden) return;
    const { fromS, selectedFromS, selectedToS, eventId } = this.#app.choices.now;
    this.#datum.hidden = Number.isNaN(fromS);
    this.#selection.hidden = !(selectedToS > selectedFromS);
    const { start, end } = this.#span();
    const at = this.#cursorS(start, end);
    const { datum, events } = this.#app.summary;
    const drawing = stripDrawing({
      ...{ widthPx: width, startS: start, endS: end, ...this.#app.window, selectedFromS, selectedToS, cursorS: at },
      ...{ datum, layers: this.#layers, notes: this.#app.notes, events, eventId },
    });
    this.#strip.replaceChildren(drawnSvg(drawing));
    this.#slider.value = String(Math.round(((at - start) / (end - start)) * steps));
    const text = this.#placeText(at);
    this.#slider.setAttribute('aria-valuetext', text);
    this.#readOut.textContent = text;
    clearTimeout(this.#speak);
    this.#speak = setTimeout(() => (this.#spoken.textContent = this.#spokenText(text)), 600);
  }

  /** The cursor inside the log; at its end while there is none yet. */
  #cursorS(start: number, end: number): number {
    const { timeS } = this.#app.choices;
    return Number.isNaN(timeS) ? end : Math.max(start, Math.min(end, timeS));
  }

  #placeText(timeS: number): string {
    const layer = this.#layers.findLast((one) => one.timeS <= timeS)?.layer;
    return `${clock(timeS, 1)}${layer === undefined ? '' : `, layer ${layer}`}`;
  }

  #spokenText(place: string): string {
    const near = this.#app.summary?.events.filter(({ id }) => id === this.#app.choices.now.eventId) ?? [];
    const event = near[0] ? ` ${near[0].kind}: ${near[0].message}` : '';
    return `${place}.${event}`;
  }

  #slide(): void {
    const { start, end } = this.#span();
    this.#player.stop();
    this.#app.choices.set({ cursorS: start + (Number(this.#slider.value) / steps) * (end - start), hoverS: NaN });
  }

  #key(event: KeyboardEvent): void {
    const rows = rowKeys[event.key];
    if (rows === undefined || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    this.#player.stop();
    void this.#app.attempt(() => this.#rows.step(rows));
  }

  #stepLayer(way: 1 | -1): void {
    if (!this.#player.stepLayer(way))
      this.#spoken.textContent = `No layer begins ${way > 0 ? 'after' : 'before'} the cursor.`;
  }

  #stepEvent(way: 1 | -1): void {
    const { summary, choices } = this.#app;
    const listed = summary?.events.filter((event) => this.#app.isListed(event)) ?? [];
    const inTime = listed.sort((a, b) => a.timeS - b.timeS);
    const at = choices.now.cursorS;
    const next =
      way > 0 ? inTime.find(({ timeS }) => timeS > at + 1e-9) : inTime.findLast(({ timeS }) => timeS < at - 1e-9);
    if (next) this.#app.chooseEvent(next, true);
    else
      this.#spoken.textContent = `No event ${way > 0 ? 'after' : 'before'} the cursor; ${countOf(inTime.length, 'event', 'events')} in the list.`;
  }

  #listen(): void {
    let pressed = NaN;
    const timeAt = (event: PointerEvent): number => {
      const { left, width } = this.#strip.getBoundingClientRect();
      const { start, end } = this.#span();
      const share = (event.clientX - left - 8) / (width - 16);
      return start + Math.max(0, Math.min(1, share)) * (end - start);
    };
    this.#strip.addEventListener('pointerdown', (event) => {
      pressed = event.clientX;
      this.#strip.setPointerCapture(event.pointerId);
    });
    this.#strip.addEventListener('pointerup', (event) => {
      const moved = event.clientX - pressed;
      const to = timeAt(event);
      if (Math.abs(moved) >= 5) {
        const { left, width } = this.#strip.getBoundingClientRect();
        const { start, end } = this.#span();
        const from = start + Math.max(0, Math.min(1, (pressed - left - 8) / (width - 16))) * (end - start);
        this.#app.zoom(from, to);
      } else this.#click(event, to);
      pressed = NaN;
    });
  }

  #click(pointer: PointerEvent, timeS: number): void {
    const hit = document.elementsFromPoint(pointer.clientX, pointer.clientY);
    const id = hit.map((one) => one.closest('[data-event]')?.getAttribute('data-event')).find(Boolean);
    const event = this.#app.summary?.events.find((one) => one.id === id);
    if (event) this.#app.chooseEvent(event, true);
    else void this.#app.pick(timeS);
  }
}

/**
 * Shows the log's gravest event and the cell it struck, else its end, unless that still moves as the log is read. Answers
 * where the cursor stands then.
 */
function firstSight(app: App): number {
  const { endS, state } = app.summary!;
  const events = app.summary!.events.filter((event) => app.isListed(event));
  const gravest =
    events.find(({ severity }) => severity === 'error') ?? events.find(({ severity }) => severity === 'warning');
  if (gravest && gravest.id !== app.choices.now.eventId) app.showEvent(gravest);
  else if (!gravest && state !== 'reading') app.choices.set({ cursorS: endS });
  return app.choices.now.cursorS;
}
