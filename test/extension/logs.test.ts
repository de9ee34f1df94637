import assert from 'node:assert/strict';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import '../support/editor/load.ts';
import type * as vscode from 'vscode';
import { wholeLine } from '../../src/core/problem.ts';
import { emptySummary } from '../../src/messages/analysis.ts';
import type { LogSummary } from '../../src/messages/analysis.ts';
import { openFile } from '../../src/worker/fileSource.ts';
import { Analysis, starts } from '../support/editor/analyses.ts';
import { TextDocument, desk } from '../support/editor/desk.ts';
import { Uri } from '../support/editor/standIn.ts';
import { hostedAnalysis } from '../support/hostedAnalysis.ts';
import { sampleScenario, simulateBuild } from '../support/simulatedBuild.ts';

const { Logs } = await import('../../src/extension/logs.ts');
const { chooseEvent } = await import('../../src/extension/eventList.ts');
const { registerAgentTools } = await import('../../src/extension/agentTools.ts');
const { registerGrowthNews } = await import('../../src/extension/growthNews.ts');
const { registerStatusBar } = await import('../../src/extension/statusBar.ts');

const path = '/w/a.strain.csv';
const uri = Uri.file(path) as unknown as vscode.Uri;
const neverCancelled = { onCancellationRequested: () => ({ dispose: () => undefined }) };

function summary(over: Partial<LogSummary> = {}): LogSummary {
  return { ...emptySummary('a.strain.csv'), state: 'complete', progress: 1, rows: 7, ...over };
}

/** The log open in a tab, its analysis started with `first`. */
async function open(first: LogSummary) {
  desk.write(path, 'x');
  desk.show(uri as unknown as Uri);
  const logs = new Logs({} as vscode.ExtensionContext);
  const log = logs.get(uri)!;
  const analysis = await answer(first);
  return { logs, log, analysis };
}

async function answer(first: LogSummary | undefined): Promise<Analysis> {
  const analysis = new Analysis(first);
  starts.at(-1)!.answer(analysis);
  await new Promise((done) => setTimeout(done));
  return analysis;
}

function save(): void {
  desk.saveText.fire(new TextDocument(uri as unknown as Uri, ''));
}

describe('an open log', () => {
  beforeEach(() => desk.clear());

  it('is being read again from the moment it is saved, whatever was known of it', async () => {
    const { log, logs } = await open(summary());
    save();
    assert.equal(log.summary?.state, 'reading');
    assert.equal(log.calls, undefined);
    await answer(undefined);
    assert.equal(log.calls, undefined, 'an analysis that has said nothing cannot be asked');
    logs.dispose();
  });

  it('is not followed any more once it was stopped, and says so', async () => {
    const { log, logs, analysis } = await open(summary({ state: 'following' }));
    const bar = registerStatusBar(logs, { activeLog: () => uri } as never);
    assert.match(desk.statusItems[0]!.text!, /following/);
    log.stop();
    assert.equal(analysis.asked.at(-1), 'stop following');
    assert.ok(!analysis.asked.includes('cancel'), 'a reading that has ended is not to be cancelled');
    assert.equal(log.summary?.state, 'complete');
    assert.match(desk.statusItems[0]!.text!, /plate/);
    log.follow(true);
    assert.equal(log.summary?.state, 'following');
    bar.dispose();
    logs.dispose();
  });

  it('is said not to be analysed where nothing in it could be', async () => {
    const { logs, analysis } = await open(summary({ rows: 0, problemCount: 9 }));
    const bar = registerStatusBar(logs, { activeLog: () => uri } as never);
    const [item] = desk.statusItems as { text?: string; backgroundColor?: unknown }[];
    assert.match(item!.text!, /not analysed, 9 data/);
    assert.ok(item!.backgroundColor);
    const problem = { range: wholeLine(9), severity: 'error', code: 'few-fields', message: 'Few.', folded: 4 } as const;
    analysis.tell(summary({ rows: 0, problems: [problem], problemCount: 2 }));
    assert.match(item!.text!, /not analysed, 6 data/, 'folded ones are counted');
    analysis.tell(summary({ rows: 0, header: {} as LogSummary['header'] }));
    assert.match(item!.text!, /no rows/);
    analysis.tell(summary({ rows: 900, header: {} as LogSummary['header'] }));
    assert.match(item!.text!, /nothing found$/);
    // Numbers of layers say nothing of how many were seen.
    analysis.tell(summary({ rows: 250, layers: 3, lastLayer: 502, header: {} as LogSummary['header'] }));
    assert.match(item!.text!, /too short to judge/);
    for (const rows of [0, 250]) {
      analysis.tell(summary({ state: 'stopped', rows, layers: 3, header: {} as LogSummary['header'] }));
      assert.match(item!.text!, /stopped at 100 %, nothing found so far$/, 'what was not read may hold more');
    }
    bar.dispose();
    logs.dispose();
  });

  it('says in place of a list of events why there are none', async () => {
    const { logs, log, analysis } = await open(summary({ rows: 900, header: {} as LogSummary['header'] }));
    const header = {} as LogSummary['header'];
    for (const [now, said] of [
      [summary({ rows: 900, header }), /^No events in this log\.$/],
      [summary({ rows: 250, layers: 3, header }), /^Too short to judge/],
      [summary({ rows: 0, header }), /no rows/],
      [summary({ rows: 0 }), /not analysed/],
      [summary({ state: 'stopped', rows: 250, layers: 3, header }), /so far; .*not read to its end/],
      [summary({ state: 'reading', rows: 250, layers: 3, header }), /so far; .*still being read/],
    ] as const) {
      analysis.tell(now);
      await chooseEvent(log, {} as never);
      assert.match(desk.said.at(-1)!, said);
    }
    logs.dispose();
  });

  it('stays in the status bar while it grows and another file is in front', async () => {
    const { logs } = await open(summary({ state: 'following' }));
    const bar = registerStatusBar(logs, { activeLog: () => undefined } as never);
    assert.match(desk.statusItems[0]!.text!, /following/);
    bar.dispose();
    logs.dispose();
  });

  it('tells of mechanical events in rows that are appended, and of no others', async () => {
    const made = (id: string, over: object = {}): LogSummary['events'][number] =>
      ({
        id,
        nature: 'mechanical',
        severity: 'error',
        message: `Crack ${id}`,
        ...over,
      }) as LogSummary['events'][number];
    const { logs, analysis } = await open(summary({ events: [made('old')] }));
    const news = registerGrowthNews(logs, {} as never);
    analysis.tell(summary({ events: [made('old')] }));
    const thermal = made('warm', { nature: 'thermal' });
    analysis.tell(summary({ state: 'following', events: [made('old'), made('new'), made('newer'), thermal] }));
    analysis.tell(summary({ state: 'following', rows: 9, events: [made('new'), made('newer')] }));
    assert.deepEqual(desk.said, ['a.strain.csv: Crack new, and 1 more event']);
    news.dispose();
    logs.dispose();
  });

  it('is not followed after its first reading was stopped', async () => {
    const { log, logs, analysis } = await open(summary({ state: 'reading', progress: 0.2 }));
    analysis.asked.length = 0;
    log.stop();
    analysis.tell(summary({ state: 'stopped', progress: 0.2 }));
    await new Promise((done) => setTimeout(done));
    assert.deepEqual(analysis.asked, ['cancel', 'stop following']);
    logs.dispose();
  });

  it('stops a reading that was stopped while it was being started, and no later one', async () => {
    const { log, logs } = await open(summary());
    log.restart();
    log.stop();
    const stopped = await answer(undefined);
    assert.deepEqual(stopped.asked, ['cancel']);
    log.restart();
    assert.deepEqual((await answer(undefined)).asked, []);
    logs.dispose();
  });

  it('keeps the datum that was chosen when it is saved, and gives it up when it is read again', async () => {
    const { log, logs } = await open(summary());
    const datum = { fromS: 3, toS: 9 };
    const asked = (): unknown => (starts.at(-1)!.request.settings as { datum?: unknown }).datum;
    log.restartWithDatum(datum);
    assert.deepEqual(asked(), datum);
    save();
    assert.deepEqual(asked(), datum);
    desk.changeSettings.fire({ affectsConfiguration: (name) => name === 'underplate.detection' });
    assert.deepEqual(asked(), datum);
    log.readAgain();
    assert.equal(asked(), undefined);
    logs.dispose();
  });

  it('is read and followed again, with the datum that was chosen, once what was stopped is taken up', async () => {
    const { log, logs } = await open(summary());
    log.restartWithDatum({ fromS: 3, toS: 9 });
    log.stop();
    log.takeUp();
    const { datum } = starts.at(-1)!.request.settings as { datum?: unknown };
    assert.deepEqual(datum, { fromS: 3, toS: 9 });
    assert.deepEqual((await answer(summary())).asked, ['follow']);
    logs.dispose();
  });

  it('goes by the setting that follows growing logs as soon as it is changed', async () => {
    const { logs, analysis } = await open(summary());
    assert.deepEqual(analysis.asked, ['follow']);
    desk.settings.set('underplate.followGrowingLogs', false);
    desk.changeSettings.fire({ affectsConfiguration: (name) => name === 'underplate.followGrowingLogs' });
    assert.deepEqual(analysis.asked, ['follow', 'stop following']);
    logs.dispose();
  });
});

describe("agents' tools", () => {
  beforeEach(() => desk.clear());

  it('wait for a log that was saved just now', async () => {
    const { logs } = await open(summary());
    const tools = registerAgentTools(logs);
    save();
    const asked = desk.tools.get('check_strain_log')!.invoke({ input: { log: path } }, neverCancelled);
    await answer(summary({ rows: 9 }));
    const { rows, state } = JSON.parse((await asked).content[0]!.value) as { rows: number; state: string };
    assert.deepEqual({ rows, state }, { rows: 9, state: 'complete' });
    tools.dispose();
    logs.dispose();
  });

  it('count the series that they leave out', async () => {
    const series = Array.from({ length: 230 }, (_, at) => ({ id: `B${at}_e1`, quantity: 'e1', unitLabel: 'µm/m' }));
    const { logs } = await open(summary({ series: series as unknown as LogSummary['series'] }));
    const tools = registerAgentTools(logs);
    const said = await desk.tools.get('check_strain_log')!.invoke({ input: { log: path } }, neverCancelled);
    const told = JSON.parse(said.content[0]!.value) as { series: unknown[]; series_left_out: number };
    assert.equal(told.series.length + told.series_left_out, 230);
    tools.dispose();
    logs.dispose();
  });
});

describe('an excerpt', () => {
  const folder = mkdtempSync(join(tmpdir(), 'underplate-'));
  after(() => rmSync(folder, { recursive: true }));

  it('waits for a log that is being read again', async () => {
    desk.clear();
    // What stands for the worker's thread here cannot be ended: it would follow the log for ever.
    desk.settings.set('underplate.followGrowingLogs', false);
    const { registerExcerpts, excerptUri } = await import('../../src/extension/excerpt.ts');
    const { logs } = await open(summary());
    const excerpts = registerExcerpts(logs);
    save();
    const asked = desk.providers.get('content')!['provideTextDocumentContent']!(excerptUri(uri, 300));
    const onDisk = join(folder, 'a.strain.csv');
    const { text } = simulateBuild(sampleScenario('release'));
    writeFileSync(onDisk, text);
    const source = await openFile(onDisk);
    starts.at(-1)!.answer(hostedAnalysis(onDisk, () => Promise.resolve({ source })));
    assert.equal((await (asked as Promise<string>)).split('\n')[2 + 200], text.split('\n')[299]);
    excerpts.dispose();
    logs.dispose();
    await source.close();
  });

  it('lets its log go when it is closed, however often it was made, and says why it holds nothing', async () => {
    desk.clear();
    const { registerExcerpts, excerptUri } = await import('../../src/extension/excerpt.ts');
    const { logs } = await open(summary());
    const excerpts = registerExcerpts(logs);
    const at = excerptUri(uri, 300);
    const content = (): Promise<string> =>
      desk.providers.get('content')!['provideTextDocumentContent']!(at) as Promise<string>;
    // This analysis knows no excerpts.
    assert.match(await content(), /^# .*excerpt is not a function/);
    await content();
    desk.show();
    assert.ok(logs.get(uri));
    desk.closeText.fire(new TextDocument(at as unknown as Uri, ''));
    assert.equal(logs.get(uri), undefined);
    excerpts.dispose();
    logs.dispose();
  });
});
