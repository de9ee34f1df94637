// One log file analysed to its end, for the command and for tests. Node only.
import { readFile } from 'node:fs/promises';
import { basename } from 'node:path';
import type { Companion } from '../core/pipeline/logHead.ts';
import type { AnalysisSettings } from '../core/pipeline/settings.ts';
import type { Problem } from '../core/problem.ts';
import type { Session } from '../core/session.ts';
import type { AnalysisCalls, LogSummary } from '../messages/analysis.ts';
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

/** The companion header beside a log, if there is one. */
export async function companionOf(path: string): Promise<Companion | undefined> {
  try {
    const name = `${path}.header.yaml`;
    return { text: await readFile(name, 'utf8'), name: basename(name) };
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
}

/** @throws Error where the file cannot be read; problems of its content are in the summary. */
export async function analyseFile(path: string, options: AnalyseOptions = {}): Promise<FileAnalysis> {
  const source = await openFile(path);
  try {
    const analysis = new LogAnalysis(nodePlatform(source, undefined, options.workers), {
      name: basename(path),
      settings: options.settings ?? {},
      companion: await companionOf(path),
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
