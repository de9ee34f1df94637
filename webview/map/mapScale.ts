// The size that the longest stroke of the map stands for: one for the whole log, so that crosses can be compared from moment to
// moment. It is sought in some of the log's rows, evenly spread; a larger value seen later still widens it. What is found
// once more is known of the log takes the place of what was found before.
import { largestSize, type PrincipalPair } from '../../src/core/display/map/mapGeometry.ts';
import { isUnderWay } from '../../src/messages/analysis.ts';
import type { WindowReply } from '../../src/messages/analysis.ts';
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
  readonly #onChange: () => void;
  /** Found in the log's rows, and in what was drawn since. */
  #sought = 0;
  #seen = 0;
  #for = '';
  #asked = '';

  constructor(app: App, onChange: () => void) {
    this.#app = app;
    this.#onChange = onChange;
  }

  /** In the unit of the pairs, for what is to be drawn now; a value as answered for a series = theirs * `askedScale`. */
  largest(pairs: readonly PrincipalPair[], askedScale: number): number {
    const { mapView, plane, eventId } = this.#app.choices.now;
    const { name, state, datum } = this.#app.summary!;
    // What an event changed is measured again as more rows come, and is not sought in the rows.
    const event = isEventView(mapView) ? `${eventId} ${state}` : '';
    const key = [name, mapView, plane, datum?.fromS, datum?.toS, event].join(' ');
    if (key !== this.#for) this.#sought = this.#seen = 0;
    this.#for = key;
    this.#seen = Math.max(this.#seen, largestSize(pairs));
    const question = `${key} ${state}`;
    const known = question === this.#asked;
    this.#asked = question;
    if (!known) void this.#ask(question, askedScale);
    return Math.max(this.#sought, this.#seen);
  }

  async #ask(question: string, askedScale: number): Promise<void> {
    const { summary, choices, host } = this.#app;
    const wanted = quantitiesOf[choices.now.mapView] ?? [];
    const fits = summary!.series.filter(({ quantity }) => wanted.includes(quantity));
    const series = fits.filter(({ plane }) => plane < 0 || plane === choices.now.plane).map(({ id }) => id);
    if (series.length === 0 || !(summary!.endS > summary!.startS)) return;
    // What has no pyramid is known from the rows only, which are not read for this while the log itself is being read.
    const quick = isUnderWay(summary!.state);
    const request = { series, fromS: summary!.startS, toS: summary!.endS, pixels: looks, quick };
    try {
      const reply = await host.calls.window(request);
      if (question !== this.#asked) return;
      this.#sought = Math.max(0, ...reply.values.map((of) => usualSize(of, reply))) / askedScale;
      this.#seen = 0; // Drawn of a log less well known: a channel since found sick, say. What is drawn now is seen again.
      this.#onChange();
    } catch {
      if (question === this.#asked) this.#asked = ''; // Not read yet: the next drawing asks again.
    }
  }
}

/**
 * The largest size of one series, in its own unit, that no single wild row decides; 0 where it has no value. Of an exact
 * column the first row is looked at. A sketched one holds its extremes only: the smaller in size is looked at.
 */
function usualSize(values: Float64Array, { columns, exact }: Pick<WindowReply, 'columns' | 'exact'>): number {
  const step = columns > 0 ? 4 : 1;
  let most = 0;
  for (let i = 0; i < values.length; i += step) {
    const first = Math.abs(values[i]!);
    const size = columns > 0 && !exact ? Math.min(first, Math.abs(values[i + 3]!)) : first;
    if (size > most && size < Infinity) most = size;
  }
  return most;
}
