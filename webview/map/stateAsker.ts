// Asks for the plate's state at the cursor: one request in the air, the newest wish next.
import type { PlaceRequest, PlateState } from '../../src/messages/analysis.ts';
import type { App } from '../app.ts';

export class StateAsker {
  readonly #app: App;
  readonly #onState: (state: PlateState | undefined) => void;
  #wish: PlaceRequest | undefined;
  #busy = false;

  constructor(app: App, onState: (state: PlateState | undefined) => void) {
    this.#app = app;
    this.#onState = onState;
  }

  want(request: PlaceRequest): void {
    if ('timeS' in request && Number.isNaN(request.timeS)) return;
    this.#wish = request;
    void this.#next();
  }

  async #next(): Promise<void> {
    const request = this.#wish;
    if (this.#busy || !request) return;
    this.#wish = undefined;
    this.#busy = true;
    try {
      this.#onState(await this.#app.host.calls.state(request));
    } catch {
      // The log is not read that far yet, or is gone: there is no state to draw, and the status line says why.
      this.#onState(undefined);
    } finally {
      this.#busy = false;
    }
    void this.#next();
  }
}
