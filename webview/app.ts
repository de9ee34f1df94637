// What every panel of the page is given: the log as last told, the user's choices, the theme, and the way to the host.
import type { LogSummary } from '../src/messages/analysis.ts';
import type { GoodBuilds, OutsideBand } from '../src/messages/goodBuilds.ts';
import type { NoteMark, ToView } from '../src/messages/view.ts';
import { ChoiceStore } from './choices.ts';
import { openFilter, passes } from './events/eventOrder.ts';
import type { Host } from './host.ts';
import type { StrainEvent } from './logTypes.ts';
import { appliedTheme, onThemeChange, type Theme } from './theme.ts';

export type Limits = Extract<ToView, { type: 'limits' }>;

export class App {
  readonly host: Host;
  readonly choices: ChoiceStore;
  theme: Theme = appliedTheme();
  summary: LogSummary | undefined;
  reference: LogSummary | undefined;
  goodBuilds: GoodBuilds | undefined;
  notes: readonly NoteMark[] = [];
  limits: Limits | undefined;
  readonly #onMessage: ((text: string) => void)[] = [];
  readonly #onLog: (() => void)[] = [];
  readonly #onProgress: (() => void)[] = [];
  readonly #onTheme: (() => void)[] = [];

  constructor(host: Host) {
    this.host = host;
    this.choices = new ChoiceStore(host.readSaved());
    onThemeChange(() => {
      this.theme = appliedTheme();
      for (const listener of this.#onTheme) listener();
    });
  }

  /** `listener` is called whenever summary, reference, notes or limits changed. */
  onLog(listener: () => void): void {
    this.#onLog.push(listener);
  }

  /** `listener` is called when the log is read further and nothing else changed. */
  onProgress(listener: () => void): void {
    this.#onProgress.push(listener);
  }

  onTheme(listener: () => void): void {
    this.#onTheme.push(listener);
  }

  onMessage(listener: (text: string) => void): void {
    this.#onMessage.push(listener);
  }

  /** Does what was asked for; where it fails, says why in the head of the page. */
  async attempt(action: () => Promise<void>): Promise<void> {
    let text = '';
    try {
      await action();
    } catch (error) {
      text = error instanceof Error ? error.message : String(error);
    }
    for (const listener of this.#onMessage) listener(text);
  }

  logChanged(): void {
    for (const listener of this.#onLog) listener();
  }

  progressed(): void {
    for (const listener of this.#onProgress) listener();
  }

  /** The shown stretch of time. */
  get window(): { readonly fromS: number; readonly toS: number } {
    const { fromS, toS } = this.choices.now;
    const start = this.summary?.startS ?? 0;
    const end = Math.max(this.summary?.endS ?? 0, start);
    if (Number.isNaN(fromS) || Number.isNaN(toS)) return { fromS: start, toS: end > start ? end : start + 1 };
    return { fromS, toS };
  }

  /** Zooms, kept inside the log; as good as all of it means all of it, also while it grows. */
  zoom(fromS: number, toS: number): void {
    const start = this.summary?.startS ?? 0;
    const end = this.summary?.endS ?? 0;
    const from = Math.max(start, Math.min(fromS, toS));
    const to = Math.min(end, Math.max(fromS, toS));
    if (!(to - from > 1e-6) || (from <= start && to >= end)) this.choices.set({ fromS: NaN, toS: NaN });
    else this.choices.set({ fromS: from, toS: to });
  }

  /** Moves the shown window along, no further than the log goes. */
  pan(byS: number): void {
    const { fromS, toS } = this.window;
    const least = (this.summary?.startS ?? 0) - fromS;
    const most = (this.summary?.endS ?? 0) - toS;
    const by = Math.max(least, Math.min(most, byS));
    this.zoom(fromS + by, toS + by);
  }

  get chosenEvent(): StrainEvent | undefined {
    return this.summary?.events.find(({ id }) => id === this.choices.now.eventId);
  }

  /** Whether the list of events shows it, by its filter. */
  isListed(event: StrainEvent): boolean {
    return passes(event, this.notes, this.choices.now);
  }

  cellName(cell: number): string {
    return this.summary?.header?.cells[cell]?.name ?? '';
  }

  planeName(plane: number): string {
    return this.summary?.header?.planes[plane]?.name ?? '';
  }

  /** Moves the cursor to a time and the text to its line. */
  async pick(timeS: number): Promise<void> {
    this.choices.set({ cursorS: timeS });
    await this.revealTime(timeS, true);
  }

  async revealTime(timeS: number, preserveFocus: boolean): Promise<void> {
    await this.attempt(async () => {
      const place = await this.host.calls.place({ timeS });
      if (place) this.host.tell({ type: 'reveal', line: place.line, preserveFocus });
    });
  }

  /** Selects the lines of the shown window in the text. */
  async revealWindow(): Promise<void> {
    const { fromS, toS } = this.window;
    await this.attempt(async () => {
      const first = await this.host.calls.place({ timeS: fromS });
      const last = await this.host.calls.place({ timeS: toS });
      if (!first || !last) return;
      this.host.tell({ type: 'reveal', line: first.line, toLine: last.line, preserveFocus: false });
    });
  }

  /** Chooses an event: cursor, cell, plane and text go to it, and the list's filter gives way where it hides it. */
  chooseEvent(event: StrainEvent, preserveFocus: boolean): void {
    this.showEvent(event);
    this.host.tell({ type: 'reveal', line: event.line, preserveFocus });
  }

  /** The same in the page alone. */
  showEvent(event: StrainEvent): void {
    const strongest = event.cells[0];
    const { fromS, toS } = this.window;
    const outside = event.timeS < fromS || event.timeS > toS;
    this.choices.set({
      eventId: event.id,
      cursorS: event.timeS,
      hoverS: NaN,
      ...(strongest ? { cell: strongest.cell, plane: this.planeOf(strongest.cell, strongest.plane) } : {}),
      ...(outside ? { fromS: NaN, toS: NaN } : {}),
      ...(this.isListed(event) ? {} : openFilter),
    });
  }

  /**
   * Shows the components of strain where a new comparison has bands for them and no plot has them. One that is told again
   * to a page that was hidden meanwhile is not new: whoever has put that plot away since does not get it back.
   */
  showBands(comparison: GoodBuilds | undefined): void {
    const bandsShownOf = comparison?.names.join('\n') ?? '';
    if (bandsShownOf === this.choices.now.bandsShownOf) return;
    const banded = new Set(comparison?.bands.map(({ series }) => series));
    const tensor = this.summary?.series.some(({ id, quantity }) => banded.has(id) && quantity !== '') ?? false;
    this.choices.set({ bandsShownOf, ...(tensor ? this.#withComponents() : {}) });
  }

  #withComponents(): { readonly groups?: readonly string[] } {
    const { groups } = this.choices.now;
    return groups.includes('components') ? {} : { groups: ['components', ...groups] };
  }

  /** Goes to where a cell lies farthest outside the good builds: cursor, plot and text, zoomed to the run of layers. */
  showOutside(run: OutsideBand): void {
    const tensor = this.summary?.series.some(({ id, quantity }) => id === run.series && quantity !== '') ?? false;
    this.choices.set({
      ...(run.cell >= 0 ? { cell: run.cell, plane: this.planeOf(run.cell, run.plane) } : {}),
      ...(tensor ? this.#withComponents() : {}),
      cursorS: run.worstS,
      hoverS: NaN,
    });
    const around = Math.max(1, run.toS - run.fromS);
    this.zoom(run.fromS - around, run.toS + around);
    this.host.tell({ type: 'reveal', line: run.worstLine, preserveFocus: true });
  }

  /** Whether an event changed a cell or struck one of its channels; an event of no cell concerns all. */
  concerns(event: StrainEvent, cell: number): boolean {
    const channels = this.summary?.header?.channels ?? [];
    const struck = [...event.cells.map((one) => one.cell), ...event.channels.map((one) => channels[one]?.cell ?? -1)];
    const cells = struck.filter((one) => one >= 0);
    return cells.length === 0 || cells.includes(cell);
  }

  /** `plane` if the cell has a rosette on it, else the cell's highest, which lies nearest to the parts. */
  planeOf(cell: number, plane: number): number {
    const planes = this.planesOf(cell);
    return planes.includes(plane) ? plane : (planes.at(-1) ?? -1);
  }

  /** Lowest first. */
  planesOf(cell: number): number[] {
    const channels = this.summary?.header?.channels ?? [];
    const own = channels.filter((one) => one.cell === cell && Number.isFinite(one.directionRad));
    const height = (plane: number): number => this.summary?.header?.planes[plane]?.heightM || 0;
    return [...new Set(own.map(({ plane }) => plane))].sort((a, b) => height(a) - height(b) || a - b);
  }
}
