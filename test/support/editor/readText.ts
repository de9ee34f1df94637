// A log's text analysed as the extension would have it done, but in this thread.
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { analyseFile } from '../../../src/worker/analyseFile.ts';
import { Analysis } from './analyses.ts';

const folders: string[] = [];

/** The analysis of `text`, read to its end. */
export async function readText(text: string): Promise<Analysis> {
  const folder = await mkdtemp(join(tmpdir(), 'underplate-'));
  folders.push(folder);
  const path = join(folder, 'log.strain.csv');
  await writeFile(path, text);
  const { summary, calls } = await analyseFile(path, { workers: 1 });
  return new Analysis(summary, calls);
}

export async function forgetTexts(): Promise<void> {
  for (const folder of folders.splice(0)) await rm(folder, { recursive: true });
}

/** Lets everything happen that needs no more than a turn or two; `true` of what is waited for ends the wait. */
export async function until(seen: () => boolean): Promise<void> {
  for (let turn = 0; turn < 500 && !seen(); turn++) await new Promise((done) => setTimeout(done, 4));
  if (!seen()) throw new Error('what was waited for did not happen');
}
