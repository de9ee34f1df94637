// Serves one log's analysis over a channel: the inside of a worker, the same for Node and browser.
import type { ProfiledBuild } from '../core/compare/compareBuilds.ts';
import type { ByteSource } from '../core/table/byteSource.ts';
import type { AnalysisCalls, LogSummary } from '../messages/analysis.ts';
import type { Channel } from '../messages/channel.ts';
import type { GoodBuilds } from '../messages/goodBuilds.ts';
import { summaryChanges } from '../messages/summaryChanges.ts';
import type { ByteCalls, CompareRequest, OpenRequest, SummaryNotice, WorkerCalls } from '../messages/worker.ts';
import { workerCallNames } from '../messages/worker.ts';
import { goodBuildsFor } from './goodBuilds.ts';
import { Questions } from './questions.ts';
import { LogAnalysis } from './logAnalysis.ts';
import type { Platform } from './platform.ts';

/** A followed log is asked for its size at least this often; watching, where there is any, is quicker. */
const pollMs = 1000;

export interface HostPlatform {
  open(request: OpenRequest, remote: ByteSource): Promise<Platform>;
  /** Calls back when the log may have changed; answers with the way to stop. */
  watch?(path: string, onChange: () => void): () => void;
}

export function serveAnalysis(channel: Channel<SummaryNotice, never>, platform: HostPlatform): void {
  channel.serve<WorkerCalls>(new WorkerHost(channel, platform), workerCallNames);
}

class WorkerHost implements WorkerCalls {
  readonly #channel: Channel<SummaryNotice, never>;
  readonly #platform: HostPlatform;
  /** Of what runs now: one that was stopped stays so. */
  #stop = new AbortController();
  readonly #questions = new Questions();
  #analysis: LogAnalysis | undefined;
  #path = '';
  #unfollow: (() => void) | undefined;
  #readingOn: Promise<unknown> = Promise.resolve();
  #opened: Promise<void> = Promise.resolve();
  /** The first that can be asked. */
  #firstQueries: Promise<void> = Promise.resolve();
  #haveQueries: () => void = () => undefined;

  constructor(channel: Channel<SummaryNotice, never>, platform: HostPlatform) {
    this.#channel = channel;
    this.#platform = platform;
  }

  open(request: OpenRequest): Promise<void> {
    this.#firstQueries = new Promise((done) => (this.#haveQueries = done));
    this.#opened = this.#open(request);
    return this.#opened;
  }

  async #open(request: OpenRequest): Promise<void> {
    const { signal } = this.#stop;
    const remote = this.#channel.caller<ByteCalls>();
    const opened = await this.#platform.open(request, {
      size: () => remote.size(undefined),
      read: (offset, length) => remote.read({ offset, length }),
    });
    const { name, settings, companion, anew } = request;
    this.#path = request.path;
    this.#analysis = new LogAnalysis(opened, {
      ...{ name, settings, companion, anew },
      beforeFinding: () => this.#questions.lull(),
    });
    let told: LogSummary | undefined;
    this.#analysis.onSummary((summary) => {
      this.#channel.notify({ type: 'summary', changes: summaryChanges(told, summary) });
      told = summary;
      if (this.#analysis?.queries) this.#haveQueries();
    });
    await this.#analysis.run(signal);
  }

  /** Stops the reading that is under way, and following. */
  cancel(): Promise<void> {
    this.#stop.abort();
    this.#stop = new AbortController();
    return this.follow({ on: false });
  }

  follow({ on }: { on: boolean }): Promise<void> {
    this.#unfollow?.();
    this.#unfollow = undefined;
    if (!on) {
      this.#analysis?.rest();
      return Promise.resolve();
    }
    const readOn = (): void => this.#readOn();
    const timer = setInterval(readOn, pollMs);
    const unwatch = this.#platform.watch?.(this.#path, readOn);
    this.#unfollow = () => {
      clearInterval(timer);
      unwatch?.();
    };
    readOn();
    return Promise.resolve();
  }

  async profile(): Promise<ProfiledBuild> {
    await this.#opened;
    return this.#analysis!.profile();
  }

  async compare({ good, coverage }: CompareRequest): Promise<GoodBuilds> {
    const own = await this.profile();
    return goodBuildsFor(own, good, coverage, this.#analysis!.summary.endS);
  }

  window: AnalysisCalls['window'] = (request) =>
    this.#questions.during(this.#ask((queries) => queries.window(request)));
  state: AnalysisCalls['state'] = (request) => this.#questions.during(this.#ask((queries) => queries.state(request)));
  place: AnalysisCalls['place'] = (request) => this.#ask((queries) => queries.place(request));
  excerpt: AnalysisCalls['excerpt'] = (request) => this.#ask((queries) => queries.excerpt(request));
  problems: AnalysisCalls['problems'] = (request) => this.#ask((queries) => queries.problems(request));

  /** A question that comes before anything can be answered waits; it fails where the reading ended before that. */
  async #ask<Answer>(question: (queries: AnalysisCalls) => Promise<Answer>): Promise<Answer> {
    await Promise.race([this.#firstQueries, this.#opened]);
    const queries = this.#analysis?.queries;
    if (!queries)
      throw new Error(this.#analysis?.summary.failure || 'the reading was stopped too soon; read the log again');
    return question(queries);
  }

  /** One at a time, after the first reading; a change that comes meanwhile is seen by the next. */
  #readOn(): void {
    const { signal } = this.#stop;
    this.#readingOn = this.#readingOn.then(async () => {
      // What kept the log from being opened is told to who opened it.
      await this.#opened.catch(() => undefined);
      await this.#analysis?.readOn(signal);
    });
  }
}
