// Runs in the harness's page before the view's own script: plays the editor and the extension. A real analysis of a log
// handed over by address answers the page; what the page tells is kept in `window.harness` for tests to read.
import { memorySource } from '../../../src/core/table/byteSource.ts';
import { Channel } from '../../../src/messages/channel.ts';
import type { FromView, NoteMark, ToView, ViewCalls } from '../../../src/messages/view.ts';
import { summaryChanges } from '../../../src/messages/summaryChanges.ts';
import { fromWire, toWire } from '../../../src/messages/wire.ts';
import { goodBuildsFor } from '../../../src/worker/goodBuilds.ts';
import { LogAnalysis } from '../../../src/worker/logAnalysis.ts';
import type { GoodBuilds } from '../../../src/messages/goodBuilds.ts';
import type { LogSummary } from '../../../src/messages/analysis.ts';

export interface Harness {
  /** Everything the page told, oldest first. */
  readonly told: FromView[];
  /** Requests that the page made, by name. */
  readonly asked: string[];
  tell(notice: ToView): void;
  summary(): LogSummary;
  /** Opens the second log. */
  openReference(name: string): Promise<void>;
  /** Compares with good builds, as the extension does once they are chosen. */
  compareWith(names: readonly string[]): Promise<GoodBuilds>;
  saved(): unknown;
}

declare global {
  interface Window {
    harness: Harness;
    acquireVsCodeApi: () => {
      postMessage(message: unknown): void;
      getState(): unknown;
      setState(state: unknown): void;
    };
  }
}

const query = new URLSearchParams(location.search);
const stateKey = 'underplate-harness-state';
const toHost = new EventTarget();

window.acquireVsCodeApi = () => ({
  // The editor carries JSON (typed arrays apart): what would not survive there must not survive here.
  postMessage: (message) => toHost.dispatchEvent(new CustomEvent('message', { detail: throughEditor(message) })),
  getState: () => JSON.parse(sessionStorage.getItem(stateKey) ?? 'null') ?? undefined,
  setState: (state) => sessionStorage.setItem(stateKey, JSON.stringify(state)),
});

function throughEditor(value: unknown): unknown {
  if (value instanceof ArrayBuffer || ArrayBuffer.isView(value)) return structuredClone(value);
  if (Array.isArray(value)) return value.map(throughEditor);
  if (typeof value === 'number' && !Number.isFinite(value)) return null;
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).flatMap(([key, inner]) => (inner === undefined ? [] : [[key, throughEditor(inner)]])),
  );
}

const told: FromView[] = [];
const asked: string[] = [];
const channel = new Channel<ToView, FromView>({
  post: (message) => window.postMessage(throughEditor(toWire(message)), '*'),
  onMessage: (listener) =>
    toHost.addEventListener('message', (event) => listener(fromWire((event as CustomEvent<unknown>).detail))),
});

async function open(name: string): Promise<LogAnalysis> {
  const reply = await fetch(`/logs/${name}`);
  if (!reply.ok) throw new Error(`no log named ${name}`);
  const bytes = new Uint8Array(await reply.arrayBuffer());
  return new LogAnalysis({ source: memorySource(bytes) }, { name, settings: {} });
}

const notes: NoteMark[] = [];
let analysis: LogAnalysis | undefined;
let reference: LogAnalysis | undefined;

function queries(of: LogAnalysis | undefined): NonNullable<LogAnalysis['queries']> {
  if (!of?.queries) throw new Error('the log is not being read yet');
  return of.queries;
}

const calls: ViewCalls = {
  window: (request) => queries(analysis).window(request),
  state: (request) => queries(analysis).state(request),
  place: (request) => queries(analysis).place(request),
  excerpt: (request) => queries(analysis).excerpt(request),
  problems: (request) => queries(analysis).problems(request),
  referenceWindow: (request) => queries(reference).window(request),
};
const counted = new Proxy(calls, {
  get: (target, name: keyof ViewCalls) => (argument: never) => {
    asked.push(name);
    return (target[name] as (argument: never) => Promise<unknown>)(argument);
  },
});
channel.serve<ViewCalls>(counted, ['window', 'state', 'place', 'excerpt', 'problems', 'referenceWindow']);
channel.onNotice((notice) => {
  told.push(notice);
  if (notice.type === 'ready') void answerReady();
  if (notice.type === 'judge') judge(notice);
  if (notice.type === 'dropGoodBuilds') channel.notify({ type: 'goodBuilds', comparison: undefined });
});

async function answerReady(): Promise<void> {
  const name = query.get('log');
  if (!name) return;
  analysis = await open(name);
  let toldOf: LogSummary | undefined;
  analysis.onSummary((summary) => {
    channel.notify({ type: 'summary', changes: summaryChanges(toldOf, summary) });
    toldOf = summary;
  });
  channel.notify({ type: 'notes', notes });
  await analysis.run(new AbortController().signal);
}

function judge({ eventId, verdict }: Extract<FromView, { type: 'judge' }>): void {
  const event = analysis?.summary.events.find(({ id }) => id === eventId);
  if (!event) return;
  notes.push({ timeS: event.timeS, line: event.line, cell: event.cells[0]?.cell ?? -1, eventId, verdict, text: '' });
  channel.notify({ type: 'notes', notes });
}

window.harness = {
  told,
  asked,
  tell: (notice) => channel.notify(notice),
  summary: () => analysis!.summary,
  openReference: async (name) => {
    reference = await open(name);
    await reference.run(new AbortController().signal);
    channel.notify({ type: 'reference', changes: reference.summary });
  },
  compareWith: async (names) => {
    const good = [];
    for (const name of names) {
      const one = await open(name);
      await one.run(new AbortController().signal);
      good.push(await one.profile());
    }
    const comparison = goodBuildsFor(await analysis!.profile(), good, 0.95, analysis!.summary.endS);
    channel.notify({ type: 'goodBuilds', comparison });
    return comparison;
  },
  saved: () => JSON.parse(sessionStorage.getItem(stateKey) ?? 'null') as unknown,
};
