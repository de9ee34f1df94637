// One request in the air at a time, the newest wish next: so that a fast hand never queues up.

export class NewestWish<Request extends object> {
  readonly #serve: (request: Request) => Promise<void>;
  #wish: Request | undefined;
  #busy = false;

  /** `serve` asks, hands on what comes, and takes its own failures. */
  constructor(serve: (request: Request) => Promise<void>) {
    this.#serve = serve;
  }

  /** A newer wish waits for the answer that is in the air. */
  get waits(): boolean {
    return this.#wish !== undefined;
  }

  want(request: Request): void {
    this.#wish = request;
    void this.#next();
  }

  drop(): void {
    this.#wish = undefined;
  }

  async #next(): Promise<void> {
    const request = this.#wish;
    if (this.#busy || !request) return;
    this.#wish = undefined;
    this.#busy = true;
    try {
      await this.#serve(request);
    } finally {
      this.#busy = false;
    }
    void this.#next();
  }
}
