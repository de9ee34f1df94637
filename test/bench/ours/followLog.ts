// Following a growing log, in process: from appending a line to its being judged, noticed by watching the folder as the
// command does. Path of the log that grows, its first part in it; path of a file with lines to append; milliseconds as JSON.
import { appendFileSync, readFileSync, watch } from 'node:fs';
import { basename, dirname } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { openFile } from '../../../src/worker/fileSource.ts';
import { LogAnalysis } from '../../../src/worker/logAnalysis.ts';
import { nodePlatform } from '../../../src/worker/nodePlatform.ts';

/** A prime, so that appending keeps no step with anything. */
const everyMs = 37;
const [path, linesPath] = [process.argv[2]!, process.argv[3]!];
const signal = new AbortController().signal;
const source = await openFile(path);
const analysis = new LogAnalysis(nodePlatform(source, undefined), {
  name: basename(path),
  settings: {},
  pyramid: false,
});
await analysis.run(signal);

let wake: () => void = () => undefined;
const watcher = watch(dirname(path), () => wake());
const latenciesMs: number[] = [];
for (const line of readFileSync(linesPath, 'utf8').trimEnd().split('\n')) {
  await wait(everyMs);
  const rows = analysis.summary.rows;
  let noticed = new Promise<void>((resolve) => (wake = resolve));
  const started = performance.now();
  appendFileSync(path, `${line}\n`);
  while (analysis.summary.rows === rows) {
    await noticed;
    noticed = new Promise<void>((resolve) => (wake = resolve));
    await analysis.readOn(signal);
  }
  latenciesMs.push(performance.now() - started);
}
watcher.close();
await source.close();
console.log(JSON.stringify({ rows: analysis.summary.rows, latenciesMs }));
