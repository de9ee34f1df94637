// Tools for language models in the editor: check a log, describe one event, read a window of values. Read-only; answers
// are JSON in the words of the check contract, and bounded: what is left out is counted.
import * as vscode from 'vscode';
import { contractEvent, rounded } from '../core/contract/checkContract.ts';
import { isUnderWay } from '../messages/analysis.ts';
import type { LogSummary, SeriesInfo, WindowReply } from '../messages/analysis.ts';
import { checkedLog } from './checkOf.ts';
import type { Logs, OpenLog } from './logs.ts';

const mostFindings = 50;
const mostSeries = 12;
const mostSeriesNamed = 200;
const mostPoints = 200;

interface LogInput {
  /** Path in the workspace, absolute path or address. */
  readonly log: string;
}

interface EventInput extends LogInput {
  readonly event: string;
}

interface WindowInput extends LogInput {
  readonly series?: readonly string[];
  readonly from_s?: number;
  readonly to_s?: number;
}

export function registerAgentTools(logs: Logs): vscode.Disposable {
  return vscode.Disposable.from(
    tool<LogInput>(logs, 'check_strain_log', (log) => Promise.resolve(check(log))),
    tool<EventInput>(logs, 'describe_event', (log, input) => Promise.resolve(describe(log, input.event))),
    tool<WindowInput>(logs, 'read_window', readWindow),
  );
}

type Answer<I> = (log: ReadLog, input: I) => Promise<unknown>;

interface ReadLog {
  readonly path: string;
  readonly open: OpenLog;
  readonly summary: LogSummary;
}

function tool<I extends LogInput>(logs: Logs, name: string, answer: Answer<I>): vscode.Disposable {
  return vscode.lm.registerTool<I>(name, {
    async invoke({ input }, token) {
      const uri = addressOf(input.log);
      await vscode.workspace.fs.stat(uri); // a clear error for a file that is not there
      const { log, release } = logs.keep(uri);
      try {
        const summary = await finished(logs, log, token);
        const result = await answer({ path: input.log, open: log, summary }, input);
        return new vscode.LanguageModelToolResult([new vscode.LanguageModelTextPart(JSON.stringify(result))]);
      } finally {
        release.dispose();
      }
    },
    prepareInvocation: ({ input }) => ({ invocationMessage: `Reading ${input.log}` }),
  });
}

function addressOf(log: string): vscode.Uri {
  if (/^[a-z][\w+.-]+:\/\//i.test(log)) return vscode.Uri.parse(log, true);
  if (/^([a-z]:)?[\\/]/i.test(log)) return vscode.Uri.file(log);
  const folder = vscode.workspace.workspaceFolders?.[0];
  if (!folder) throw new Error(`no folder is open, so '${log}' needs an absolute path`);
  return vscode.Uri.joinPath(folder.uri, log);
}

/** Waits until the log is read to its end, or cannot be. */
function finished(logs: Logs, log: OpenLog, token: vscode.CancellationToken): Promise<LogSummary> {
  return new Promise((done, failed) => {
    const look = (): void => {
      const { summary } = log;
      if (!summary || isUnderWay(summary.state)) return;
      listeners.dispose();
      if (summary.state === 'failed') failed(new Error(summary.failure));
      else done(summary);
    };
    const listeners = vscode.Disposable.from(
      logs.onDidChange(look),
      token.onCancellationRequested(() => {
        listeners.dispose();
        failed(new vscode.CancellationError());
      }),
    );
    look();
  });
}

function check({ path, summary }: ReadLog): object {
  const checked = checkedLog(path, summary, summary.problems.slice(0, mostFindings));
  return {
    ...checked,
    events: checked.events.slice(0, mostFindings),
    events_left_out: Math.max(0, checked.events.length - mostFindings),
    problems_left_out: summary.problemCount - checked.problems.length,
    series: summary.series.slice(0, mostSeriesNamed).map(({ id, unitLabel }) => ({ id, unit: unitLabel })),
    series_left_out: Math.max(0, summary.series.length - mostSeriesNamed),
  };
}

function describe({ summary }: ReadLog, id: string): object {
  const event = summary.events.find((candidate) => candidate.id === id);
  if (event && summary.header) return contractEvent(event, summary.header);
  const known = summary.events.slice(0, mostFindings).map((candidate) => candidate.id);
  const more = summary.events.length - known.length;
  const all = `${known.join(', ') || 'none'}${more > 0 ? ` and ${more} more` : ''}`;
  throw new Error(`no event '${id}' in this log; its events are ${all}`);
}

async function readWindow({ open, summary }: ReadLog, input: WindowInput): Promise<object> {
  const series = chosenSeries(summary, input.series ?? []);
  const fromS = input.from_s ?? summary.startS;
  const toS = input.to_s ?? summary.endS;
  if (!(fromS < toS)) throw new Error(`from_s (${fromS}) must be below to_s (${toS})`);
  if (!open.calls) throw new Error(summary.failure || 'the log cannot be read');
  // Four points a pixel column: first, both extremes, last.
  const pixels = Math.floor(mostPoints / 4);
  const reply = await open.calls.window({ series: series.map(({ id }) => id), fromS, toS, pixels });
  return {
    from_s: fromS,
    to_s: toS,
    form: reply.columns === 0 ? 'every row' : 'first, both extremes and last of each of equal spans',
    ...valuesOf(reply, series, fromS, toS),
  };
}

function chosenSeries(summary: LogSummary, names: readonly string[]): readonly SeriesInfo[] {
  const known = summary.series;
  if (names.length === 0) return known.filter(({ quantity }) => quantity === 'e1').slice(0, mostSeries);
  if (names.length > mostSeries) throw new Error(`at most ${mostSeries} series at once, got ${names.length}`);
  return names.map((name) => {
    const found = known.find(({ id }) => id === name);
    if (found) return found;
    throw new Error(
      `no series '${name}' in this log; some are ${known
        .slice(0, 20)
        .map(({ id }) => id)
        .join(', ')}`,
    );
  });
}

/** The points inside the window; the reply holds a few beyond it, for drawing, and is in the units of screens. */
function valuesOf(reply: WindowReply, series: readonly SeriesInfo[], fromS: number, toS: number): object {
  const inside = Array.from(reply.timeS.keys()).filter((at) => reply.timeS[at]! >= fromS && reply.timeS[at]! <= toS);
  const shown = inside.slice(0, mostPoints);
  const plain = (values: Float64Array | undefined): (number | null)[] =>
    shown.map((at) => rounded(values?.[at] ?? NaN, 6));
  return {
    points_left_out: inside.length - shown.length,
    time_s: plain(reply.timeS),
    series: series.map(({ id, unitLabel }, index) => ({ id, unit: unitLabel, values: plain(reply.values[index]) })),
  };
}
