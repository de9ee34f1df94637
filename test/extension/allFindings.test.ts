import assert from 'node:assert/strict';
import '../support/editor/load.ts';
import type * as vscode from 'vscode';
import type { StrainEvent } from '../../src/core/change/events.ts';
import type { Problem } from '../../src/core/problem.ts';
import { emptySummary } from '../../src/messages/analysis.ts';
import type { LogSummary } from '../../src/messages/analysis.ts';
import type { OpenLog } from '../../src/extension/logs.ts';
import { Uri, window, workspace } from '../support/editor/standIn.ts';

const { showAllFindings } = await import('../../src/extension/allFindings.ts');
const { eventDiagnostic } = await import('../../src/extension/diagnostics.ts');

const uri = Uri.file('/w/a.strain.csv') as unknown as vscode.Uri;
const stuck = { line: 70, severity: 'warning', message: 'B2 repeats one value', kind: 'stuck', folded: 3 };
const event = stuck as unknown as StrainEvent;
const range = { line: 12, column: 5, endLine: 12, endColumn: 9 };
const problem = (over: Partial<Problem>): Problem => ({
  ...{ range, severity: 'error', code: 'not-a-number', message: "'x' is no number" },
  ...over,
});

/** The text that is opened for a log of these problems. */
async function listOf(summary: LogSummary, problems: readonly Problem[]): Promise<string[]> {
  let text = '';
  Object.assign(workspace, { openTextDocument: ({ content }: { content: string }) => void (text = content) });
  Object.assign(window, { showTextDocument: () => undefined });
  const problemsFrom = ({ first, count }: { first: number; count: number }): Promise<readonly Problem[]> =>
    Promise.resolve(problems.slice(first, first + count));
  const log = { uri, summary, ready: () => Promise.resolve({ problems: problemsFrom }) };
  await showAllFindings(log as unknown as OpenLog);
  return text.split('\n');
}

describe('all findings of a log', () => {
  const summary: LogSummary = { ...emptySummary('a.strain.csv'), state: 'complete', events: [event], problemCount: 2 };

  it('stand each at its place, with what it stands for', async () => {
    const beside = problem({ file: 'a.strain.csv.header.yaml', folded: 2 });
    assert.deepEqual(await listOf({ ...summary, problems: [problem({}), beside] }, [problem({}), beside]), [
      '1 event, 4 data problems in a.strain.csv',
      '',
      '/w/a.strain.csv:70:1: warning: B2 repeats one value (and 3 more like it) [stuck]',
      "/w/a.strain.csv:12:5: error: 'x' is no number [not-a-number]",
      "/w/a.strain.csv.header.yaml:12:5: error: 'x' is no number (and 2 more like it) [not-a-number]",
    ]);
    assert.equal(eventDiagnostic(event).message, 'B2 repeats one value (and 3 more like it)');
  });

  it('are all there, however many, and said to be those so far while the log is read', async () => {
    const many = Array.from({ length: 10_001 }, () => problem({}));
    const lines = await listOf({ ...summary, state: 'reading', events: [], problemCount: many.length }, many);
    assert.match(lines[0]!, /^0 events, .* so far$/);
    assert.equal(lines.length, 2 + many.length);
  });

  it('are not to be had of a log that cannot be read, and the reason is told', async () => {
    const log = { uri, summary: undefined, ready: () => Promise.reject(new Error('a.strain.csv is a folder')) };
    await assert.rejects(showAllFindings(log as unknown as OpenLog), /is a folder/);
  });
});
