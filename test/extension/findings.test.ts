import assert from 'node:assert/strict';
import '../support/editor/load.ts';
import type { StrainEvent } from '../../src/core/change/events.ts';
import { wholeLine } from '../../src/core/problem.ts';
import { emptySummary } from '../../src/messages/analysis.ts';
import type { LogSummary } from '../../src/messages/analysis.ts';
import { Analysis, starts } from '../support/editor/analyses.ts';
import { until } from '../support/editor/readText.ts';
import { TextDocument, desk } from '../support/editor/desk.ts';
import { Uri } from '../support/editor/standIn.ts';

const { Logs } = await import('../../src/extension/logs.ts');
const { CompanionProblems } = await import('../../src/extension/companionProblems.ts');
const { registerFindings } = await import('../../src/extension/findings.ts');
const { registerHeaderProblems } = await import('../../src/extension/headerProblems.ts');
const { registerOutline } = await import('../../src/extension/outline.ts');

const uri = Uri.file('/w/a.strain.csv');
/** As the editor's own source has it: `MAX_DIAGNOSTICS_PER_FILE`. */
const mostOfFile = 1000;

interface Listed {
  readonly severity: number;
  readonly code: string;
  readonly message: string;
}

const event = (line: number, severity: StrainEvent['severity']): StrainEvent =>
  ({ id: `e${line}`, line, severity, kind: 'spike', message: 'spike', folded: 0 }) as unknown as StrainEvent;

const listed = (collection: string): readonly Listed[] =>
  (desk.diagnostics.get(collection)?.get(uri.toString()) ?? []) as unknown as readonly Listed[];

/** What stands in the list of problems of a log that is open, once its analysis has said this. */
async function findingsOf(summary: LogSummary): Promise<readonly Listed[]> {
  desk.show(uri);
  const logs = new Logs({} as never);
  const findings = registerFindings(logs, new CompanionProblems(logs));
  starts.at(-1)!.answer(new Analysis(summary));
  await until(() => (desk.diagnosed.get('underplate') ?? 0) > 0);
  const list = [...listed('underplate')];
  findings.dispose();
  logs.dispose();
  return list;
}

describe('findings in the list of problems', () => {
  beforeEach(() => desk.clear());

  it('are those that the editor lists, worst first, and the rest is counted', async () => {
    const many = Array.from({ length: 1200 }, (_, i) => event(i + 1, i % 3 === 0 ? 'error' : 'information'));
    for (const failure of ['', 'the log was changed while it was read']) {
      desk.clear();
      const state = failure === '' ? 'complete' : 'failed';
      const list = await findingsOf({ ...emptySummary('a'), state, failure, events: many, problemCount: 30 });
      assert.equal(list.length, mostOfFile);
      const severities = list.map(({ severity }) => severity);
      assert.deepEqual(severities, severities.toSorted());
      const more = Number(/^(\d+) more findings/.exec(list.at(-1)!.message)?.[1]);
      assert.equal(list.length - 1 + more, 1200 + 30 + (failure === '' ? 0 : 1));
      if (failure !== '') assert.equal(list[0]!.message, failure);
    }
  });

  it('hold those of a header that is too long to be parsed at every letter, and that is said', async () => {
    const columns = Array.from({ length: 20_000 }, (_, i) => `# - {name: C${i}, unit: um/m, datatype: float64}`);
    const document = new TextDocument(uri, ['# %ECSV 1.0', '# ---', '# datatype:', ...columns].join('\n'));
    desk.open(document);
    const checks = registerHeaderProblems();
    const logs = new Logs({} as never);
    const outline = registerOutline(logs);
    await until(() => (desk.diagnosed.get('underplate-header') ?? 0) > 0);
    assert.deepEqual(
      listed('underplate-header').map(({ code }) => code),
      ['header-not-watched'],
    );
    assert.deepEqual(await desk.providers.get('outline')!['provideDocumentSymbols']!(document), []);
    const problem = { range: wholeLine(1), severity: 'error', code: 'meta-missing', message: 'no meta' } as const;
    const list = await findingsOf({ ...emptySummary('a'), state: 'complete', problems: [problem], problemCount: 1 });
    assert.deepEqual(
      list.map(({ code }) => code),
      ['meta-missing'],
    );
    for (const part of [checks, outline, logs]) part.dispose();
  });
});
