// Scan threads that are started before their task is known: their modules load while the head of the log is read. Node only.
import type { Worker } from 'node:worker_threads';
import { startWorker } from './threadScript.ts';

export class WaitingThreads {
  #waiting: Worker[] = [];

  start(count: number): void {
    for (let thread = 0; thread < count; thread++) {
      const worker = startWorker('scanThread');
      // One that cannot start is not handed out; the one started in its place tells why.
      worker.on('error', () => (this.#waiting = this.#waiting.filter((other) => other !== worker)));
      this.#waiting.push(worker);
    }
  }

  /** A thread that takes one task, as its first message; started now where none waits. */
  take(): Worker {
    return this.#waiting.shift() ?? startWorker('scanThread');
  }

  /** Ends those that got nothing to do. */
  end(): void {
    for (const worker of this.#waiting.splice(0)) void worker.terminate();
  }
}
