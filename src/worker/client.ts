// Starts an analysis worker and speaks with it. The thread itself is made by the caller's platform (thread.node.ts,
// thread.web.ts), since that is all that differs between Node and a browser.
import type { ByteSource } from '../core/table/byteSource.ts';
import { Channel } from '../messages/channel.ts';
import type { Port } from '../messages/channel.ts';
import { emptySummary } from '../messages/analysis.ts';
import type { AnalysisCalls, LogSummary } from '../messages/analysis.ts';
import { changedSummary, isMereProgress } from '../messages/summaryChanges.ts';
import type { ProfiledBuild } from '../core/compare/compareBuilds.ts';
import { wordsOf } from '../core/problem.ts';
import type { GoodBuilds } from '../messages/goodBuilds.ts';
import type { ByteCalls, CompareRequest, OpenRequest, SummaryNotice, WorkerCalls } from '../messages/worker.ts';
import { byteCallNames } from '../messages/worker.ts';

/** A worker that has been started with the analysis script. */
export interface WorkerThread extends Port {
  onFailure(listener: (message: string) => void): void;
  terminate(): void;
}

/** `mereProgress`: nothing but how far the log is read has changed since the last call. */
type SummaryListener = (summary: LogSummary, mereProgress: boolean) => void;

export interface AnalysisHandle {
  readonly calls: AnalysisCalls;
  /** Told at every change, and at once with the latest if there is one. */
  onSummary(listener: SummaryListener): void;
  /** Settles when the first reading has ended. */
  readonly opened: Promise<void>;
  /** Waits until the first reading has ended. */
  profile(): Promise<ProfiledBuild>;
  compare(request: CompareRequest): Promise<GoodBuilds>;
  cancel(): void;
  follow(on: boolean): void;
  dispose(): void;
}

/** `source` is needed where the worker cannot read the log itself (`request.path` is ''). */
export function startAnalysis(thread: WorkerThread, request: OpenRequest, source?: ByteSource): AnalysisHandle {
  const channel = new Channel<never, SummaryNotice>(thread);
  const listeners: SummaryListener[] = [];
  let latest: LogSummary | undefined;
  const tell = (summary: LogSummary, mereProgress = false): void => {
    latest = summary;
    for (const listener of listeners) listener(summary, mereProgress);
  };
  channel.onNotice(({ changes }) => {
    const summary = changedSummary(latest, changes);
    if (summary) tell(summary, isMereProgress(changes));
  });
  if (source) {
    channel.serve<ByteCalls>(
      { size: () => source.size(), read: ({ offset, length }) => source.read(offset, length) },
      byteCallNames,
    );
  }
  const calls = channel.caller<WorkerCalls>();
  let failure: string | undefined;
  const fail = (message: string): void => {
    if (message !== failure) tell(failed(latest, request.name, message));
    failure = message;
  };
  thread.onFailure((message) => {
    fail(message);
    // Nothing is answered any more: who asks, or has asked, is told so.
    channel.dispose(message);
  });
  const opened = calls.open(request).catch((error: unknown) => {
    fail(wordsOf(error));
  });
  return {
    calls,
    opened,
    onSummary: (listener) => {
      listeners.push(listener);
      if (latest) listener(latest, false);
    },
    profile: () => calls.profile(undefined),
    compare: (request) => calls.compare(request),
    cancel: () => void calls.cancel(undefined).catch(() => undefined),
    follow: (on) => void calls.follow({ on }).catch(() => undefined),
    dispose: () => {
      channel.dispose();
      thread.terminate();
    },
  };
}

/**
 * Starts an analysis in a thread that came up while its request was still being gathered.
 * @throws what the gathering threw; the thread is then ended.
 */
export async function startGathered(
  thread: WorkerThread,
  request: Promise<OpenRequest>,
  source?: ByteSource,
): Promise<AnalysisHandle> {
  try {
    return startAnalysis(thread, await request, source);
  } catch (error) {
    thread.terminate();
    throw error;
  }
}

function failed(latest: LogSummary | undefined, name: string, failure: string): LogSummary {
  return { ...(latest ?? emptySummary(name)), state: 'failed', failure };
}
