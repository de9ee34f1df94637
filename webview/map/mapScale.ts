// The size that the longest stroke of the map stands for: one for the whole log, so that crosses can be compared from moment to
// moment. It is sought in some of the log's rows, evenly spread; a larger value seen later still widens it.
import { largestSize, type PrincipalPair } from '../../src/core/display/mapGeometry.ts';
import { isUnderWay } from '../../src/messages/analysis.ts';
import type { App } from '../app.ts';
import type { MapView } from '../choices.ts';
import { isEventView } from './mapPairs.ts';

/** Rows looked at, about. */
const looks = 256;
/** Quantities whose size is that of the pair's; forces and moments are not kept as pairs. */
const quantitiesOf: Readonly<Partial<Record<MapView, readonly string[]>>> = {
  strain: ['e1', 'e2'],
  stress: ['s1', 's2'],
  moments: ['mx', 'my', 'mxy'],
  forces: ['nx', 'ny', 'nxy'],
};

export class MapScale {
  readonly #app: App;
  readonly #onWider: () => void;
  #largest = 0;
  #for = '';
  #asked = '';

  constructor(app: App, onWider: () => void) {
    this.#app = app;
    this.#onWider = onWider;
  }

  /** In the map's own unit, for what is to be drawn now. */
  largest(pairs: readonly PrincipalPair[], unitScale: number): number {
    const { mapView, plane, eventId } = this.#app.choices.now;
    const { name, state } = this.#app.summary!;
    const key = [name, mapView, plane, isEventView(mapView) ? eventId : ''].join(' ');
    if (key !== this.#for) this.#largest = 0;
    this.#for = key;
    this.#largest = Math.max(this.#largest, largestSize(pairs));
    const question = `${key} ${state}`;
    if (question !== this.#asked) void this.#ask(key, unitScale);
    this.#asked = question;
    return this.#largest;
  }

  async #ask(key: string, unitScale: number): Promise<void> {
    const { summary, choices, host } = this.#app;
    const wanted = quantitiesOf[choices.now.mapView] ?? [];
    const fits = summary!.series.filter(({ quantity }) => wanted.includes(quantity));
    const series = fits.filter(({ plane }) => plane < 0 || plane === choices.now.plane).map(({ id }) => id);
    if (series.length === 0 || !(summary!.endS > summary!.startS)) return;
    // What has no pyramid is known from the rows only, which are not read for this while the log itself is being read.
    const quick = isUnderWay(summary!.state);
    const request = { series, fromS: summary!.startS, toS: summary!.endS, pixels: looks, quick };
    try {
      const { columns, values } = await host.calls.window(request);
      if (key !== this.#for) return;
      // Of a column the first row: its extremes may be those of one wild row, by which the rest would look like nothing.
      const step = columns > 0 ? 4 : 1;
      const sizes = values.flatMap((of) =>
        Array.from(of).filter((value, i) => i % step === 0 && Number.isFinite(value)),
      );
      const size = sizes.reduce((most, value) => Math.max(most, Math.abs(value)), 0) / unitScale;
      if (!(size > this.#largest)) return;
      this.#largest = size;
      this.#onWider();
    } catch {
      this.#asked = ''; // Not read yet: the next drawing asks again.
    }
  }
}
