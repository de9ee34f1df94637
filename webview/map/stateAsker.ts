// Asks for the plate's state at the cursor: one request in the air, the newest wish next.
import type { PlaceRequest, PlateState } from '../../src/messages/analysis.ts';
import type { App } from '../app.ts';
import { NewestWish } from '../newestWish.ts';

export class StateAsker {
  readonly #wishes: NewestWish<PlaceRequest>;

  constructor(app: App, onState: (state: PlateState | undefined) => void) {
    this.#wishes = new NewestWish(async (request) => {
      try {
        onState(await app.host.calls.state(request));
      } catch {
        // The log is not read that far yet, or is gone: there is no state to draw, and the status line says why.
        onState(undefined);
      }
    });
  }

  want(request: PlaceRequest): void {
    if ('timeS' in request && Number.isNaN(request.timeS)) return;
    this.#wishes.want(request);
  }
}
