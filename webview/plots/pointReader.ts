// The values of the row nearest to a time, exactly: a pixel column holds extremes of many rows, and a read-out must not
// give one of those for the row at the cursor. One request in the air, the newest wish next.
import type { App } from '../app.ts';

export interface PointValues {
  readonly timeS: number;
  readonly bySeries: ReadonlyMap<string, number>;
}

export class PointReader {
  readonly #app: App;
  readonly #onValues: (values: PointValues) => void;
  #wish: { readonly timeS: number; readonly series: readonly string[] } | undefined;
  #busy = false;

  constructor(app: App, onValues: (values: PointValues) => void) {
    this.#app = app;
    this.#onValues = onValues;
  }

  want(timeS: number, series: readonly string[]): void {
    if (Number.isNaN(timeS) || series.length === 0) return;
    this.#wish = { timeS, series };
    void this.#next();
  }

  async #next(): Promise<void> {
    const wish = this.#wish;
    if (this.#busy || !wish) return;
    this.#wish = undefined;
    this.#busy = true;
    const { timeS: at, series } = wish;
    try {
      // So narrow a window is answered with rows: those at the time and one to either side.
      const { timeS, values } = await this.#app.host.calls.window({ series, fromS: at, toS: at, pixels: 256 });
      const row = nearest(timeS, at);
      this.#onValues({ timeS: at, bySeries: new Map(series.map((id, i) => [id, values[i]![row] ?? NaN])) });
    } catch {
      // Not read that far yet: the values of the drawing stay, marked as about.
    } finally {
      this.#busy = false;
    }
    void this.#next();
  }
}

function nearest(timeS: Float64Array, at: number): number {
  let best = 0;
  for (let row = 1; row < timeS.length; row++) {
    if (Math.abs(timeS[row]! - at) < Math.abs(timeS[best]! - at)) best = row;
  }
  return best;
}
