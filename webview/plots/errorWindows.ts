// Standard errors of the drawn lines, asked for by themselves: to draw them over a long window the log is read again, and
// the lines need not wait for that.
import type { WindowReply, WindowRequest } from '../../src/messages/analysis.ts';
import type { App } from '../app.ts';
import { WindowAsker } from '../windows.ts';

export class ErrorWindows {
  readonly #asker: WindowAsker;
  #latest: { readonly reply: WindowReply; readonly request: WindowRequest } | undefined;

  constructor(app: App, onErrors: () => void, onFailure: (message: string) => void) {
    this.#asker = new WindowAsker(
      (request) => app.host.calls.window(request),
      (reply, request) => {
        this.#latest = { reply, request };
        onErrors();
      },
      onFailure,
    );
  }

  want(request: WindowRequest): void {
    this.#asker.want(request);
  }

  /** Errors at the points of `drawn`; undefined while those at hand are of other points. */
  of(id: string, drawn: WindowReply): Float64Array | undefined {
    const at = this.#latest?.request.series.indexOf(id) ?? -1;
    if (!this.#latest || at < 0) return undefined;
    const { columns, timeS, values } = this.#latest.reply;
    const same =
      columns === drawn.columns &&
      timeS.length === drawn.timeS.length &&
      timeS[0] === drawn.timeS[0] &&
      timeS.at(-1) === drawn.timeS.at(-1);
    return same ? values[at] : undefined;
  }
}
