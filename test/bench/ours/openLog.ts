// Opening a log as the editor does, in process: time to the sampled rows, to the exact plot, to all found, and to the same
// from the index. Path and folder for the index on the command line; figures as JSON. The mean of the compared column over
// all rows, for the cross-check, and sizes are taken after the clock has stopped.
import { readdirSync, rmSync, statSync } from 'node:fs';
import { basename, join } from 'node:path';
import { readRows } from '../../../src/core/table/rowReader.ts';
import { openFile } from '../../../src/worker/fileSource.ts';
import { indexStore } from '../../../src/worker/indexFile.ts';
import { LogAnalysis } from '../../../src/worker/logAnalysis.ts';
import { nodePlatform } from '../../../src/worker/nodePlatform.ts';

const [path, indexFolder] = [process.argv[2]!, process.argv[3]!];
const signal = new AbortController().signal;
const compared = 'A1_90';

async function open() {
  const started = performance.now();
  const source = await openFile(path);
  const platform = nodePlatform(source, indexStore(source, indexFolder));
  const analysis = new LogAnalysis(platform, { name: basename(path), settings: {} });
  let sampledMs: number | undefined;
  let drawnMs: number | undefined;
  let completeMs = NaN;
  analysis.onSummary(({ state }) => {
    if (state === 'sampled') sampledMs ??= performance.now() - started;
    if (state === 'drawn') drawnMs ??= performance.now() - started;
    if (state === 'complete' && Number.isNaN(completeMs)) completeMs = performance.now() - started;
  });
  await analysis.run(signal);
  if (analysis.summary.state === 'failed') throw new Error(analysis.summary.failure);
  return { analysis, source, sampledMs, drawnMs, completeMs };
}

async function meanOf({ analysis, source }: Awaited<ReturnType<typeof open>>): Promise<number> {
  const session = analysis.session!;
  const { header } = session.basis!;
  const column = header.columns.findIndex(({ name }) => name === compared);
  let sum = 0;
  await readRows(source, header, session.index!, 0, session.rows, (block) => {
    const values = block.columns[column]!;
    for (let row = 0; row < block.rows; row++) sum += values[row]!;
  });
  return sum / session.rows;
}

/** Bytes of all levels of the display pyramid. */
function pyramidBytes({ analysis }: Awaited<ReturnType<typeof open>>): number {
  const { works } = analysis.session!.save();
  const chunks = works.flatMap(({ pyramid }) => pyramid?.levels.flat() ?? []);
  return chunks.reduce((sum, chunk) => sum + chunk.byteLength, 0);
}

rmSync(indexFolder, { recursive: true, force: true });
const first = await open();
const mean = await meanOf(first);
await first.source.close();
const again = await open();
await again.source.close();
const [indexName = ''] = readdirSync(indexFolder);
const { sampledMs, drawnMs, completeMs } = first;
const { rows } = first.analysis.summary;
const sizes = { indexBytes: statSync(join(indexFolder, indexName)).size, pyramidBytes: pyramidBytes(first) };
console.log(JSON.stringify({ rows, mean, sampledMs, drawnMs, completeMs, reopenMs: again.completeMs, ...sizes }));
