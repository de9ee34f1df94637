// Moves the cursor row by row, as arrow keys ask of it. Which row comes next only the log knows; keys may come faster than
// it answers, and are added up meanwhile.
import type { App } from '../app.ts';

export class RowStepper {
  readonly #app: App;
  /** A step that needs no row, where rows cannot be told yet: seconds. */
  readonly #plainStepS: () => number;
  #wanted = 0;
  #busy = false;

  constructor(app: App, plainStepS: () => number) {
    this.#app = app;
    this.#plainStepS = plainStepS;
  }

  /** `rows`: onwards where positive. The text follows once the cursor rests. */
  async step(rows: number): Promise<void> {
    this.#wanted += rows;
    if (this.#busy) return;
    this.#busy = true;
    let line = 0;
    try {
      while (this.#wanted !== 0) {
        const by = this.#wanted;
        this.#wanted = 0;
        line = (await this.#move(by)) ?? line;
      }
    } finally {
      this.#busy = false;
      this.#wanted = 0;
    }
    if (line > 0) this.#app.host.tell({ type: 'reveal', line, preserveFocus: true });
  }

  /** Answers with the line of the row that it came to; undefined where rows cannot be told. */
  async #move(by: number): Promise<number | undefined> {
    const { host, choices, summary } = this.#app;
    const { startS = 0, endS = 0, rows = 0 } = summary ?? {};
    const before = choices.now.cursorS;
    const fromS = Number.isNaN(before) ? endS : before;
    const here = await host.calls.place({ timeS: fromS });
    if (!here) {
      const toS = fromS + by * this.#plainStepS();
      choices.set({ cursorS: Math.max(startS, Math.min(endS, toS)), hoverS: NaN });
      return undefined;
    }
    // Between two rows the one before is the first step back.
    const first = by < 0 && fromS > here.timeS ? here.row + 1 : here.row;
    const row = Math.max(0, Math.min(rows - 1, first + by));
    const there = row === here.row ? here : await host.calls.place({ row });
    // It was put elsewhere while the log was asked: that is newer than the key.
    if (!there || !Object.is(choices.now.cursorS, before)) return undefined;
    choices.set({ cursorS: there.timeS, hoverS: NaN });
    return there.line;
  }
}
