// One class at every boundary (worker, page): one-way notices, and requests whose replies are ok or err, paired by number.
// A handler that throws answers with an err, so that no asker waits for ever; disposing fails what is open.

/** How a message leaves and arrives: a worker port, a webview, or a pair of them in a test. */
export interface Port {
  post(message: unknown): void;
  onMessage(listener: (message: unknown) => void): void;
}

type Calls = object;
type Handler = (argument: unknown) => Promise<unknown>;

interface Envelope {
  readonly underplate: 'notice' | 'call' | 'ok' | 'err';
  readonly id: number;
  readonly name: string;
  readonly body: unknown;
}

export class Channel<Outgoing, Incoming> {
  readonly #port: Port;
  readonly #open = new Map<number, { resolve: (value: unknown) => void; reject: (error: Error) => void }>();
  #nextId = 1;
  #handlers = new Map<string, Handler>();
  #noticeListener: ((notice: Incoming) => void) | undefined;
  /** Why nothing is asked any more; undefined while the channel is open. */
  #closed: string | undefined;

  constructor(port: Port) {
    this.#port = port;
    port.onMessage((message) => void this.#receive(message));
  }

  notify(notice: Outgoing): void {
    if (this.#closed === undefined) this.#post('notice', 0, '', notice);
  }

  onNotice(listener: (notice: Incoming) => void): void {
    this.#noticeListener = listener;
  }

  /** A proxy on which every method is a request to the other end. */
  caller<T extends Calls>(): T {
    const call = (name: string, argument: unknown): Promise<unknown> => this.#call(name, argument);
    return new Proxy({} as T, {
      get: (_, name) =>
        typeof name === 'string' && name !== 'then' ? (argument: unknown) => call(name, argument) : undefined,
    });
  }

  /** Answers the other end's requests with the methods of `target`. */
  serve<T extends Calls>(target: T, names: readonly (keyof T & string)[]): void {
    for (const name of names) {
      const method = target[name] as (argument: unknown) => Promise<unknown>;
      this.#handlers.set(name, (argument) => method.call(target, argument));
    }
  }

  /** `why`: what askers are told. */
  dispose(why = 'channel closed'): void {
    if (this.#closed !== undefined) return;
    this.#closed = why;
    for (const waiting of this.#open.values()) waiting.reject(new Error(why));
    this.#open.clear();
    this.#handlers = new Map();
    this.#noticeListener = undefined;
  }

  #call(name: string, argument: unknown): Promise<unknown> {
    if (this.#closed !== undefined) return Promise.reject(new Error(this.#closed));
    const id = this.#nextId++;
    return new Promise((resolve, reject) => {
      this.#open.set(id, { resolve, reject });
      this.#post('call', id, name, argument);
    });
  }

  #post(underplate: Envelope['underplate'], id: number, name: string, body: unknown): void {
    this.#port.post({ underplate, id, name, body } satisfies Envelope);
  }

  async #receive(message: unknown): Promise<void> {
    if (this.#closed !== undefined || !isEnvelope(message)) return;
    if (message.underplate === 'notice') this.#noticeListener?.(message.body as Incoming);
    else if (message.underplate === 'call') await this.#answer(message);
    else this.#settle(message);
  }

  async #answer(message: Envelope): Promise<void> {
    const handler = this.#handlers.get(message.name);
    try {
      if (!handler) throw new Error(`no handler for '${message.name}'`);
      this.#post('ok', message.id, '', await handler(message.body));
    } catch (error) {
      this.#post('err', message.id, '', error instanceof Error ? error.message : String(error));
    }
  }

  #settle(message: Envelope): void {
    const waiting = this.#open.get(message.id);
    if (!waiting) return;
    this.#open.delete(message.id);
    if (message.underplate === 'ok') waiting.resolve(message.body);
    else waiting.reject(new Error(String(message.body)));
  }
}

function isEnvelope(message: unknown): message is Envelope {
  return typeof message === 'object' && message !== null && 'underplate' in message;
}
