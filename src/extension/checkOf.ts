// What was found in a log, in the form of the JSON contract, for files and for agents' tools.
import {
  checkContractName,
  contractDatum,
  contractEvent,
  contractExtent,
  contractProblem,
} from '../core/contract/checkContract.ts';
import type { ContractDatum, ContractEvent, ContractExtent, ContractProblem } from '../core/contract/checkContract.ts';
import type { Problem } from '../core/problem.ts';
import type { LogSummary, ReadingState } from '../messages/analysis.ts';
import type { OpenLog } from './logs.ts';

export interface CheckedLog extends ContractExtent {
  readonly path: string;
  readonly state: ReadingState;
  readonly failure: string;
  readonly problems: readonly ContractProblem[];
  readonly events: readonly ContractEvent[];
  readonly datum: ContractDatum | null;
}

/** The whole list of problems, however long. */
export async function checkContract(log: OpenLog): Promise<{ schema: string; logs: readonly CheckedLog[] }> {
  const { summary, calls } = log;
  if (!summary || !calls) throw new Error(summary?.failure || 'the log is not read yet');
  const problems = await calls.problems({ first: 0, count: summary.problemCount });
  return { schema: checkContractName, logs: [checkedLog(log.uri.path, summary, problems)] };
}

export function checkedLog(path: string, summary: LogSummary, problems: readonly Problem[]): CheckedLog {
  const { header } = summary;
  return {
    path,
    state: summary.state,
    ...contractExtent(summary),
    failure: summary.failure,
    problems: problems.map(contractProblem),
    events: header ? summary.events.map((event) => contractEvent(event, header)) : [],
    datum: summary.datum ? contractDatum(summary.datum) : null,
  };
}
