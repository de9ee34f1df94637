// An analysis worker as a web worker.
import type { WorkerThread } from './client.ts';

/** `script` is the worker bundle's address; workers of another origin are refused, so its text is loaded first. */
export function startThread(script: string): WorkerThread {
  const starter = `importScripts(${JSON.stringify(script)});`;
  const worker = new Worker(URL.createObjectURL(new Blob([starter], { type: 'text/javascript' })));
  return {
    post: (message) => worker.postMessage(message),
    onMessage: (listener) => worker.addEventListener('message', (event: MessageEvent<unknown>) => listener(event.data)),
    onFailure: (listener) => worker.addEventListener('error', (event) => listener(event.message)),
    terminate: () => worker.terminate(),
  };
}
