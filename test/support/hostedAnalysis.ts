// The inside and the outside of a worker in this thread, over a wire between them.
import { Channel } from '../../src/messages/channel.ts';
import type { Port } from '../../src/messages/channel.ts';
import type { SummaryNotice } from '../../src/messages/worker.ts';
import { startAnalysis } from '../../src/worker/client.ts';
import type { AnalysisHandle } from '../../src/worker/client.ts';
import type { Platform } from '../../src/worker/platform.ts';
import { serveAnalysis } from '../../src/worker/workerHost.ts';

/** Two ends of a wire; what is posted at one arrives at the other, later and in order. */
function wire(): [Port, Port] {
  const listeners: ((message: unknown) => void)[][] = [[], []];
  const end = (own: number): Port => ({
    post: (message) => {
      const copy: unknown = structuredClone(message);
      setImmediate(() => listeners[1 - own]!.forEach((listener) => listener(copy)));
    },
    onMessage: (listener) => listeners[own]!.push(listener),
  });
  return [end(0), end(1)];
}

/** The analysis of the log at `path`, which `open` opens, asked as the editor asks it. */
export function hostedAnalysis(path: string, open: () => Promise<Platform>): AnalysisHandle {
  const [inside, outside] = wire();
  serveAnalysis(new Channel<SummaryNotice, never>(inside), { open });
  const thread = { ...outside, onFailure: () => undefined, terminate: () => undefined };
  const request = { name: 'a', path, indexFolder: '', anew: false, settings: {}, companion: undefined };
  return startAnalysis(thread, request);
}
