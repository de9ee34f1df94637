// What crosses between an analysis in a worker and whoever started it. Requests go through channel.ts.
import type { AnalysisSettings } from '../core/pipeline/settings.ts';
import type { AnalysisCalls, LogSummary } from './analysis.ts';

/** One-way, worker to starter: told at every change worth showing, at most a few times a second. */
export interface SummaryNotice {
  readonly type: 'summary';
  readonly summary: LogSummary;
}

export interface OpenRequest {
  readonly name: string;
  /** A file the worker can read itself; '' where its bytes are asked of the starter. */
  readonly path: string;
  /** Folder for index files, '' for none. */
  readonly indexFolder: string;
  readonly settings: AnalysisSettings;
  readonly companion: { readonly text: string; readonly name: string } | undefined;
}

/** Requests to the worker. `open` answers when the first reading has ended, however it ended. */
export interface WorkerCalls extends AnalysisCalls {
  open(request: OpenRequest): Promise<void>;
  cancel(request: undefined): Promise<void>;
  follow(request: { readonly on: boolean }): Promise<void>;
}

/** Requests of the worker to its starter, for logs that the worker cannot read itself. */
export interface ByteCalls {
  size(request: undefined): Promise<number>;
  read(request: { readonly offset: number; readonly length: number }): Promise<Uint8Array>;
}

export const workerCallNames = ['open', 'cancel', 'follow', 'window', 'state', 'place', 'excerpt', 'problems'] as const;
export const byteCallNames = ['size', 'read'] as const;
