// An analysis worker as a Node worker thread.
import { Worker } from 'node:worker_threads';
import type { WorkerThread } from './client.ts';

/** `script` is the worker's bundle (or start.ts, with `execArgv` that lets Node read it). */
export function startThread(script: string | URL, execArgv?: string[]): WorkerThread {
  const worker = new Worker(script, execArgv ? { execArgv } : {});
  return {
    post: (message) => worker.postMessage(message),
    onMessage: (listener) => worker.on('message', listener),
    onFailure: (listener) => worker.on('error', (error) => listener(error.message)),
    terminate: () => void worker.terminate(),
  };
}
