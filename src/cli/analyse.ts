// The analysis of one log file as the commands use it. Loaded only when a log is really read, so that help stays instant.
import type { FileAnalysis, AnalyseOptions } from '../worker/analyseFile.ts';

export type Analyse = (path: string, options: AnalyseOptions) => Promise<FileAnalysis>;

export const analyse: Analyse = async (path, options) => {
  const { analyseFile } = await import('../worker/analyseFile.ts');
  return analyseFile(path, options);
};
