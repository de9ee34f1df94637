// An analysis of a log on disk that can be asked to read on as the log grows. The caller closes it.
import { basename } from 'node:path';
import type { AnalysisSettings } from '../core/pipeline/settings.ts';
import { companionOf } from '../worker/besideFile.ts';
import { openFile } from '../worker/fileSource.ts';
import { LogAnalysis } from '../worker/logAnalysis.ts';
import { nodePlatform } from '../worker/nodePlatform.ts';

export interface OpenAnalysis {
  readonly analysis: LogAnalysis;
  close(): Promise<void>;
}

/** @throws Error where the file cannot be opened. */
export async function openAnalysis(path: string, settings: AnalysisSettings): Promise<OpenAnalysis> {
  const companion = await companionOf(path);
  const source = await openFile(path);
  const options = { name: basename(path), settings, companion, pyramid: false };
  return { analysis: new LogAnalysis(nodePlatform(source, undefined), options), close: () => source.close() };
}
