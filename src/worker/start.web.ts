// The analysis worker's start in a browser (dedicated web worker). Bytes are asked of the starter.
import { Channel } from '../messages/channel.ts';
import type { SummaryNotice } from '../messages/worker.ts';
import { serveAnalysis } from './workerHost.ts';

serveAnalysis(
  new Channel<SummaryNotice, never>({
    post: (message) => postMessage(message),
    onMessage: (listener) => addEventListener('message', (event: MessageEvent<unknown>) => listener(event.data)),
  }),
  { open: (_, remote) => Promise.resolve({ source: remote }) },
);
