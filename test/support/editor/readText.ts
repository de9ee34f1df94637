// A log's text analysed as the extension would have it done, but in this thread.
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { analyseFile } from '../../../src/worker/analyseFile.ts';
import { Analysis } from './analyses.ts';

const made: { readonly folder: string; close(): Promise<void> }[] = [];

/** The analysis of `text`, read to its end. */
export async function readText(text: string): Promise<Analysis> {
  const folder = await mkdtemp(join(tmpdir(), 'underplate-'));
  const path = join(folder, 'log.strain.csv');
  await writeFile(path, text);
  const { summary, calls, close } = await analyseFile(path, { workers: 1 });
  made.push({ folder, close });
  return new Analysis(summary, calls);
}

export async function forgetTexts(): Promise<void> {
  for (const { folder, close } of made.splice(0)) {
    await close();
    await rm(folder, { recursive: true });
  }
}

/** Lets everything happen that needs no more than a turn or two; `true` of what is waited for ends the wait. */
export async function until(seen: () => boolean): Promise<void> {
  for (let turn = 0; turn < 500 && !seen(); turn++) await new Promise((done) => setTimeout(done, 4));
  if (!seen()) throw new Error('what was waited for did not happen');
}
