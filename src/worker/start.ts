// The analysis worker's start in Node (worker thread).
import { watch } from 'node:fs';
import { basename, dirname } from 'node:path';
import { parentPort } from 'node:worker_threads';
import { Channel } from '../messages/channel.ts';
import type { SummaryNotice } from '../messages/worker.ts';
import { openFile } from './fileSource.ts';
import { indexStore } from './indexFile.ts';
import { nodePlatform } from './nodePlatform.ts';
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
    // The folder is watched, not the file: a file that is replaced would take its watcher with it.
    watch: (path, onChange) => {
      if (path === '') return () => undefined;
      const name = basename(path);
      try {
        const watcher = watch(dirname(path), (_, changed) => {
          if (changed === null || changed === name) onChange();
        });
        watcher.on('error', () => watcher.close());
        return () => watcher.close();
      } catch {
        // No watchers left, or a file system without: the log is asked for its size anyway.
        return () => undefined;
      }
    },
  },
);
