// The contract `underplate-check/1` for a whole run: one object a log, in the order asked for.
import {
  checkContractName,
  contractDatum,
  contractEvent,
  contractExtent,
  contractJudgement,
  contractProblem,
} from '../../core/contract/checkContract.ts';
import type { LogHeader } from '../../core/header/logHeader.ts';
import type { CheckedEvent, CheckedLog } from '../checkLogs.ts';
import { shownPath } from '../findLogs.ts';
import { version } from '../version.ts';

export function formatJson(logs: readonly CheckedLog[], cwd: string): string {
  const written = { schema: checkContractName, version, logs: logs.map((log) => jsonLog(log, cwd)) };
  return `${JSON.stringify(written, null, 2)}\n`;
}

function jsonLog(log: CheckedLog, cwd: string): object {
  const { header, analysis, notes } = log;
  const summary = analysis?.summary;
  return {
    path: log.shown,
    ...(summary ? contractExtent(summary) : { rows: 0, duration_s: null, last_layer: null }),
    failure: log.failure,
    problems: log.problems.map(contractProblem),
    events: header ? log.events.map((one) => jsonEvent(one, header)) : [],
    datum: summary?.datum ? contractDatum(summary.datum) : null,
    notes: notes.exists
      ? {
          path: shownPath(notes.path, cwd),
          threads: notes.notes.threads.length,
          problems: notes.problems.map(contractProblem),
        }
      : null,
    against: log.before
      ? { ref: log.before.ref, problems_left_out: log.before.problems, events_left_out: log.before.events }
      : null,
  };
}

function jsonEvent({ event, judgement }: CheckedEvent, header: LogHeader): object {
  return { ...contractEvent(event, header), ...contractJudgement(judgement) };
}
