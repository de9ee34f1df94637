// Starts a worker thread on a script of ours: the bundle beside this one, or the source when run from source. Node only.
import { Worker } from 'node:worker_threads';

/** `name` is a file of src/worker without its ending. */
export function startWorker(name: string): Worker {
  if (!import.meta.url.endsWith('.ts')) {
    const resourceLimits = { maxYoungGenerationSizeMb: 2 };
    return new Worker(new URL(`../worker/${name}.mjs`, import.meta.url), { resourceLimits });
  }
  // A thread does not take over the loader of the thread that starts it.
  const script = JSON.stringify(new URL(`./${name}.ts`, import.meta.url).href);
  const loadSource = `import('tsx/esm/api').then(({ register }) => { register(); return import(${script}); })`;
  return new Worker(loadSource, { eval: true });
}
