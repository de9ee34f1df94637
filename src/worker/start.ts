// The analysis worker's start in Node (worker thread).
import { parentPort } from 'node:worker_threads';
import { Channel } from '../messages/channel.ts';
import type { SummaryNotice } from '../messages/worker.ts';
import { openFile } from './fileSource.ts';
import { indexStore } from './indexFile.ts';
import { nodePlatform } from './nodePlatform.ts';
import { watchFile } from './watchFile.ts';
import { serveAnalysis } from './workerHost.ts';

const port = parentPort!;

serveAnalysis(
  new Channel<SummaryNotice, never>({
    post: (message) => port.postMessage(message),
    onMessage: (listener) => port.on('message', listener),
  }),
  {
    open: async ({ path, indexFolder }, remote) => {
      if (path === '') return { source: remote };
      const source = await openFile(path);
      return nodePlatform(source, indexFolder === '' ? undefined : indexStore(source, indexFolder));
    },
    watch: (path, onChange) => (path === '' ? () => undefined : watchFile(path, onChange)),
  },
);
