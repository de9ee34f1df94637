// Asks for windows of data: one request in the air per asker, the newest wish next, so that a fast zoom never queues up.
// While the user moves, the pyramid's quick answer is drawn; once at rest, the exact one.
import type { WindowReply, WindowRequest } from '../src/messages/analysis.ts';
import { NewestWish } from './newestWish.ts';

type Ask = (request: WindowRequest) => Promise<WindowReply>;

const restMs = 120;

/** The user is moving; or stands, before an empty plot or before one that is about right. */
export type Pace = 'moving' | 'empty' | 'drawn';

export class WindowAsker {
  readonly #ask: Ask;
  readonly #onReply: (reply: WindowReply, request: WindowRequest) => void;
  readonly #onFailure: (message: string) => void;
  readonly #wishes = new NewestWish<WindowRequest>((request) => this.#serve(request));
  #rest: ReturnType<typeof setTimeout> | undefined;

  constructor(
    ask: Ask,
    onReply: (reply: WindowReply, request: WindowRequest) => void,
    onFailure: (message: string) => void,
  ) {
    this.#ask = ask;
    this.#onReply = onReply;
    this.#onFailure = onFailure;
  }

  /** Wants `request` drawn: quickly at once unless that would better nothing, and exactly as soon as `pace` says. */
  want(request: WindowRequest, pace: Pace = 'moving'): void {
    clearTimeout(this.#rest);
    if (request.series.length === 0 || !(request.toS > request.fromS) || !(request.pixels > 0)) return;
    if (pace !== 'drawn') this.#rest = setTimeout(() => this.#wantExactly(request), pace === 'moving' ? restMs : 0);
    this.#wishes.want({ ...request, quick: pace !== 'drawn' });
  }

  stop(): void {
    clearTimeout(this.#rest);
    this.#wishes.drop();
  }

  #wantExactly(request: WindowRequest): void {
    this.#wishes.want({ ...request, quick: false });
  }

  async #serve(request: WindowRequest): Promise<void> {
    try {
      const reply = await this.#ask(request);
      // A quick answer than which there is no better one spares the second.
      if (request.quick && (reply.exact || reply.sampled) && !this.#wishes.waits) clearTimeout(this.#rest);
      this.#onReply(reply, request);
    } catch (error) {
      this.#onFailure(error instanceof Error ? error.message : String(error));
    }
  }
}
