// In the place of analysis.node.ts: every analysis that is asked for waits here until a test answers.
import type { AnalysisCalls, LogSummary } from '../../../src/messages/analysis.ts';
import type { AnalysisHandle } from '../../../src/worker/client.ts';

type Listener = Parameters<AnalysisHandle['onSummary']>[0];

/** One analysis as the extension has it. */
export class Analysis implements AnalysisHandle {
  readonly calls: AnalysisCalls;
  readonly opened = Promise.resolve();
  /** What the extension asked of it, in order. */
  readonly asked: string[] = [];
  summary: LogSummary | undefined;
  readonly #listeners: Listener[] = [];

  constructor(summary: LogSummary | undefined, calls: Partial<AnalysisCalls> = {}) {
    this.summary = summary;
    this.calls = calls as AnalysisCalls;
  }

  tell(summary: LogSummary): void {
    this.summary = summary;
    this.#listeners.forEach((listener) => listener(summary, false));
  }

  onSummary(listener: Listener): void {
    this.#listeners.push(listener);
    if (this.summary) listener(this.summary, false);
  }

  profile: AnalysisHandle['profile'] = () => new Promise(() => undefined);
  compare: AnalysisHandle['compare'] = () => new Promise(() => undefined);
  cancel = (): void => void this.asked.push('cancel');
  follow = (on: boolean): void => void this.asked.push(on ? 'follow' : 'stop following');
  dispose = (): void => void this.asked.push('dispose');
}

export interface Start {
  readonly request: { readonly uri: { readonly path: string }; readonly settings: unknown };
  answer(analysis: AnalysisHandle): void;
}

/** The starts that were asked for, latest last. */
export const starts: Start[] = [];

export function startLogAnalysis(request: Start['request']): Promise<AnalysisHandle> {
  return new Promise((answer) => starts.push({ request, answer }));
}
