// Windows of the second log, mapped to the first one's time, so that they can be drawn behind its lines.
import { alignByLayer, alignByTime, type LayerStart, type TimeMap } from '../../src/core/display/plot/alignment.ts';
import { isReadToEnd, type LogSummary, type WindowReply } from '../../src/messages/analysis.ts';
import type { App } from '../app.ts';
import { WindowAsker } from '../windows.ts';
import type { BehindLine } from './marks.ts';

interface Alignment {
  /** The logs as they stood, and by what. */
  readonly wanted: string;
  readonly map: TimeMap;
  /** By layer was asked for and cannot be had. */
  readonly failed: boolean;
}

/** `note`: what is not as one would expect of the second log's lines, '' where nothing is. */
type OnLines = (lines: Map<string, BehindLine>, note: string) => void;

export class ReferenceWindows {
  readonly #app: App;
  readonly #onLines: OnLines;
  readonly #asker: WindowAsker;
  #alignment: Alignment | undefined;
  #asked = 0;
  #note = '';

  constructor(app: App, onLines: OnLines) {
    this.#app = app;
    this.#onLines = onLines;
    this.#asker = new WindowAsker(
      (request) => app.host.calls.referenceWindow(request),
      (reply, { series }) => onLines(this.#linesOf(reply, series), this.#note),
      (message) => onLines(new Map(), `${app.reference?.name ?? ''}: ${message}`),
    );
  }

  /** `series`: ids of the first log; those that the second has too are drawn. */
  want(series: readonly string[], pixels: number): void {
    const { reference, summary } = this.#app;
    if (!reference || !summary) {
      this.#asker.stop();
      this.#alignment = undefined;
      this.#onLines(new Map(), '');
      return;
    }
    void this.#wantWhenAligned(series, pixels).catch((error: unknown) => {
      this.#onLines(new Map(), `${reference.name}: ${error instanceof Error ? error.message : String(error)}`);
    });
  }

  async #wantWhenAligned(series: readonly string[], pixels: number): Promise<void> {
    const asked = ++this.#asked;
    const alignment = await this.#align();
    const { reference } = this.#app;
    if (!reference || asked !== this.#asked) return; // put away, or aligned in another way, meanwhile
    this.#alignment = alignment;
    const { map } = alignment;
    const { fromS, toS } = this.#app.window;
    const offered = new Set(reference.series.map(({ id }) => id));
    const nothing = nothingOf(reference);
    const both = nothing === '' ? series.filter((id) => offered.has(id)) : [];
    this.#note =
      nothing ||
      [...this.#lacking(reference, series.length - both.length, both.length), ...shiftOf(alignment, reference)].join(
        ' ',
      );
    if (both.length === 0) {
      this.#asker.stop();
      this.#onLines(new Map(), this.#note);
      return;
    }
    this.#asker.want({ series: both, fromS: map.toSecond(fromS), toS: map.toSecond(toS), pixels });
  }

  /** What the second log has no lines of. */
  #lacking({ header, name }: LogSummary, lacking: number, found: number): string[] {
    if (!header || lacking === 0) return [];
    const cell = this.#app.cellName(this.#app.choices.now.cell);
    if (!header.cells.some((one) => one.name === cell)) return [`${name} has no cell ${cell}.`];
    return [`${name} has ${found === 0 ? 'none' : 'not all'} of these quantities of cell ${cell}.`];
  }

  async #align(): Promise<Alignment> {
    const { summary, reference, choices } = this.#app;
    const by = choices.now.alignReferenceBy;
    const wanted = [by, summary!.endS, reference!.name, reference!.endS].join(' ');
    if (this.#alignment?.wanted === wanted) return this.#alignment;
    const byLayer = by === 'layer' ? await this.#layerMap() : undefined;
    const map = byLayer ?? alignByTime(summary!.startS, reference!.startS);
    return { wanted, map, failed: by === 'layer' && !byLayer };
  }

  async #layerMap(): Promise<TimeMap | undefined> {
    const { summary, reference, host } = this.#app;
    const layersOf = async (own: boolean): Promise<readonly LayerStart[]> => {
      const log = own ? summary! : reference!;
      const request = { series: [], fromS: log.startS, toS: log.endS, pixels: 1, quick: true };
      return (await (own ? host.calls.window(request) : host.calls.referenceWindow(request))).layers;
    };
    return alignByLayer(await layersOf(true), await layersOf(false));
  }

  #linesOf(reply: WindowReply, series: readonly string[]): Map<string, BehindLine> {
    const map = this.#alignment?.map;
    if (!map) return new Map();
    const timeS = reply.timeS.map((time) => map.toFirst(time));
    return new Map(series.map((id, i) => [id, { timeS, values: reply.values[i]!, sick: reply.sick?.[i] }]));
  }
}

/** Why there is nothing to draw of a second log, whatever the cell; '' where there is, or may come to be. */
function nothingOf({ name, state, header, rows, failure }: LogSummary): string {
  if (!header && failure !== '') return `${name}: ${failure}.`;
  if (!isReadToEnd(state)) return '';
  if (!header) return `${name} was not analysed: its header has errors, which are told where it is open.`;
  return rows === 0 ? `${name} has no rows.` : '';
}

/** What is not as asked for, or not as it was, of a second log that is drawn. */
function shiftOf({ failed }: Alignment, { name, gone }: LogSummary): string[] {
  return [
    ...(failed
      ? [`${name} shares fewer than two layers with this log, so it is aligned by the time since its start.`]
      : []),
    ...(gone ? [`${name} is not there any more: what had been read of it is drawn.`] : []),
  ];
}
