// What crosses between an analysis in a worker and whoever started it. Requests go through channel.ts.
import type { ProfiledBuild } from '../core/compare/compareBuilds.ts';
import type { AnalysisSettings } from '../core/pipeline/settings.ts';
import type { AnalysisCalls } from './analysis.ts';
import type { GoodBuilds } from './goodBuilds.ts';
import type { SummaryChanges } from './summaryChanges.ts';

/** One-way, worker to starter: told at every change worth showing, at most a few times a second. */
export interface SummaryNotice {
  readonly type: 'summary';
  readonly changes: SummaryChanges;
}

export interface OpenRequest {
  readonly name: string;
  /** A file the worker can read itself; '' where its bytes are asked of the starter. */
  readonly path: string;
  /** Folder for index files, '' for none. */
  readonly indexFolder: string;
  /** Reads every row again, whatever an index says. */
  readonly anew: boolean;
  readonly settings: AnalysisSettings;
  readonly companion: { readonly text: string; readonly name: string } | undefined;
}

export interface CompareRequest {
  readonly good: readonly ProfiledBuild[];
  /** Share of good builds that the band is to hold, 0 to 1. */
  readonly coverage: number;
}

/** Requests to the worker. `open` answers when the first reading has ended, however it ended. */
export interface WorkerCalls extends AnalysisCalls {
  open(request: OpenRequest): Promise<void>;
  cancel(request: undefined): Promise<void>;
  follow(request: { readonly on: boolean }): Promise<void>;
  /** The log boiled down to its layers, once it has been read. */
  profile(request: undefined): Promise<ProfiledBuild>;
  /** Lays the log over good builds, as `profile` of their own workers gave them. */
  compare(request: CompareRequest): Promise<GoodBuilds>;
}

/** Requests of the worker to its starter, for logs that the worker cannot read itself. */
export interface ByteCalls {
  size(request: undefined): Promise<number>;
  read(request: { readonly offset: number; readonly length: number }): Promise<Uint8Array>;
}

export const workerCallNames = [
  'open',
  'cancel',
  'follow',
  'profile',
  'compare',
  'window',
  'state',
  'place',
  'excerpt',
  'problems',
] as const;
export const byteCallNames = ['size', 'read'] as const;
