// Windows of the second log, mapped to the first one's time, so that they can be drawn behind its lines.
import { alignByLayer, alignByTime, type LayerStart, type TimeMap } from '../../src/core/display/alignment.ts';
import type { WindowReply } from '../../src/messages/analysis.ts';
import type { App } from '../app.ts';
import { WindowAsker } from '../windows.ts';
import type { BehindLine } from './marks.ts';

export class ReferenceWindows {
  readonly #app: App;
  readonly #onLines: (lines: Map<string, BehindLine>) => void;
  readonly #asker: WindowAsker;
  #map: TimeMap | undefined;
  #mapFor = '';

  constructor(app: App, onLines: (lines: Map<string, BehindLine>) => void) {
    this.#app = app;
    this.#onLines = onLines;
    this.#asker = new WindowAsker(
      (request) => app.host.calls.referenceWindow(request),
      (reply, { series }) => onLines(this.#linesOf(reply, series)),
      () => onLines(new Map()),
    );
  }

  /** `series`: ids of the first log; those that the second has too are drawn. */
  want(series: readonly string[], pixels: number): void {
    const { reference, summary } = this.#app;
    if (!reference || !summary) {
      this.#asker.stop();
      this.#map = undefined;
      this.#mapFor = '';
      this.#onLines(new Map());
      return;
    }
    void this.#wantWhenAligned(series, pixels);
  }

  async #wantWhenAligned(series: readonly string[], pixels: number): Promise<void> {
    const map = await this.#timeMap();
    const { fromS, toS } = this.#app.window;
    const offered = new Set(this.#app.reference?.series.map(({ id }) => id));
    const both = series.filter((id) => offered.has(id));
    this.#asker.want({ series: both, fromS: map.toSecond(fromS), toS: map.toSecond(toS), pixels });
  }

  async #timeMap(): Promise<TimeMap> {
    const { summary, reference, choices } = this.#app;
    const by = choices.now.alignReferenceBy;
    const wanted = [by, summary!.endS, reference!.name, reference!.endS].join(' ');
    if (this.#map && this.#mapFor === wanted) return this.#map;
    const byTime = alignByTime(summary!.startS, reference!.startS);
    const map = by === 'layer' ? ((await this.#layerMap()) ?? byTime) : byTime;
    this.#map = map;
    this.#mapFor = wanted;
    return map;
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
    const map = this.#map;
    if (!map) return new Map();
    const timeS = reply.timeS.map((time) => map.toFirst(time));
    return new Map(series.map((id, i) => [id, { timeS, values: reply.values[i]!, sick: reply.sick?.[i] }]));
  }
}
