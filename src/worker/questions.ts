// The questions that a worker is answering. Looking for events takes all processors for long: it begins only in a lull, when
// the plots that a first pass made possible have been drawn.

/** So long after an answer another question may follow from it: the way to the page and back. */
const lullMs = 120;
/** Who asks without end is not waited for longer than this. */
const longestWaitMs = 600;
const lookMs = 10;

export class Questions {
  #open = 0;
  #lastMs = 0;

  async during<Answer>(answer: Promise<Answer>): Promise<Answer> {
    this.#open++;
    try {
      return await answer;
    } finally {
      this.#open--;
      this.#lastMs = performance.now();
    }
  }

  /** Waits until nothing has been asked for a moment from now on. */
  async lull(): Promise<void> {
    const startMs = performance.now();
    this.#lastMs = startMs;
    for (let nowMs = startMs; nowMs - startMs < longestWaitMs; nowMs = performance.now()) {
      if (this.#open === 0 && nowMs - this.#lastMs >= lullMs) return;
      await new Promise((done) => setTimeout(done, lookMs));
    }
  }
}
