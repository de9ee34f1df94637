// One log file analysed to its end, for the command and for tests. Node only.
import { basename } from 'node:path';
import type { AnalysisSettings } from '../core/pipeline/settings.ts';
import type { Problem } from '../core/problem.ts';
import type { Session } from '../core/session.ts';
import type { AnalysisCalls, LogSummary } from '../messages/analysis.ts';
import { companionOf } from './besideFile.ts';
import { openFile } from './fileSource.ts';
import { LogAnalysis } from './logAnalysis.ts';
import { nodePlatform } from './nodePlatform.ts';

export interface AnalyseOptions {
  readonly settings?: AnalysisSettings;
  readonly onProgress?: (summary: LogSummary) => void;
  readonly signal?: AbortSignal;
  /** Threads; as many as the machine has cores where left out. */
  readonly workers?: number;
  /** Whether windows of series will be asked for. Default false. */
  readonly pyramid?: boolean;
}

export interface FileAnalysis {
  readonly path: string;
  readonly summary: LogSummary;
  readonly calls: AnalysisCalls;
  readonly allProblems: readonly Problem[];
  readonly session: Session;
  close(): Promise<void>;
}

/** @throws Error where the file cannot be read; problems of its content are in the summary. */
export async function analyseFile(path: string, options: AnalyseOptions = {}): Promise<FileAnalysis> {
  const source = await openFile(path);
  try {
    const analysis = new LogAnalysis(nodePlatform(source, undefined, options.workers), {
      name: basename(path),
      settings: options.settings ?? {},
      companion: await companionOf(path, options.signal),
      pyramid: options.pyramid ?? false,
    });
    if (options.onProgress) analysis.onSummary(options.onProgress);
    await analysis.run(options.signal ?? new AbortController().signal);
    const { summary, session, queries } = analysis;
    options.signal?.throwIfAborted();
    if (summary.state === 'failed' || !session || !queries) throw new Error(summary.failure);
    return { path, summary, calls: queries, allProblems: session.problems, session, close: () => source.close() };
  } catch (error) {
    await source.close();
    throw error;
  }
}
