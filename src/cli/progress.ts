// One line on a terminal that says how far several logs are. Nothing is written where stderr is no terminal.
import type { Output } from './command.ts';

export class Progress {
  readonly #parts: Float64Array;
  readonly #output: Output;
  #shown = '';

  constructor(count: number, output: Output) {
    this.#parts = new Float64Array(count);
    this.#output = output;
  }

  /** Log `at` is done to `part`, 0 to 1. */
  at(at: number, part: number): void {
    this.#parts[at] = part;
    if (!this.#output.isTTY) return;
    const done = this.#parts.reduce((sum, one) => sum + one, 0) / this.#parts.length;
    const ended = this.#parts.filter((one) => one >= 1).length;
    const logs = this.#parts.length > 1 ? `, ${ended} of ${this.#parts.length} logs` : '';
    const line = `reading ${Math.floor(done * 100)} %${logs}`;
    if (line === this.#shown) return;
    this.#shown = line;
    this.#output.write(`\r\u001b[K${line}`);
  }

  clear(): void {
    if (this.#shown !== '') this.#output.write('\r\u001b[K');
    this.#shown = '';
  }
}
