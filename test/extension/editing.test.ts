import assert from 'node:assert/strict';
import '../support/editor/load.ts';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type * as vscode from 'vscode';
import { wholeLine } from '../../src/core/problem.ts';
import { emptySummary } from '../../src/messages/analysis.ts';
import { sampleText } from '../workbench/sample.ts';
import { Analysis, starts } from '../support/editor/analyses.ts';
import { forgetTexts, readText, until } from '../support/editor/readText.ts';
import { TextDocument, desk } from '../support/editor/desk.ts';
import { MarkdownString, Range, Uri, window } from '../support/editor/standIn.ts';
import type { DocumentSymbol, CodeAction, Hover } from '../support/editor/standIn.ts';

const { Logs } = await import('../../src/extension/logs.ts');
const { CompanionProblems } = await import('../../src/extension/companionProblems.ts');
const { NoteBooks } = await import('../../src/extension/noteBooks.ts');
const { NoteThreads } = await import('../../src/extension/noteThreads.ts');
const { NoteCommands } = await import('../../src/extension/noteCommands.ts');
const { registerCursorLink } = await import('../../src/extension/cursorLink.ts');
const { registerHeaderProblems } = await import('../../src/extension/headerProblems.ts');
const { registerLargeFiles } = await import('../../src/extension/largeFiles.ts');
const { registerOutline } = await import('../../src/extension/outline.ts');
const { registerRowHover } = await import('../../src/extension/rowHover.ts');

const samples = join(import.meta.dirname, '../../sample-logs');
const uri = Uri.file('/w/a.strain.csv');
const pause = (ms: number): Promise<void> => new Promise((done) => setTimeout(done, ms));

function newLogs() {
  return new Logs({} as vscode.ExtensionContext);
}

describe('a text that is being typed in', () => {
  let parts: { dispose(): unknown }[] = [];
  beforeEach(() => desk.clear());
  afterEach(() => parts.forEach((part) => part.dispose()));
  after(forgetTexts);

  it("has its companion's check, whatever else changes meanwhile", async () => {
    const log = Uri.file('/w/foreign-table.csv');
    const companion = Uri.file(`${log.path}.header.yaml`);
    const table = readFileSync(join(samples, 'foreign-table.csv'), 'latin1').split('\n');
    desk.write(companion.path, readFileSync(join(samples, 'foreign-table.csv.header.yaml')));
    const logs = newLogs();
    parts = [logs, new CompanionProblems(logs)];
    logs.keep(log as unknown as vscode.Uri);
    const excerpt = async ({ line }: { line: number }) => ({ firstLine: line, lines: [table[line - 1]!] });
    starts.at(-1)!.answer(new Analysis({ ...emptySummary('f'), state: 'complete' }, { excerpt }));
    const checks = (): number => desk.diagnosed.get('underplate-companion') ?? 0;
    await until(() => checks() === 1);
    desk.changeText.fire({ document: new TextDocument(companion, '') });
    await pause(50);
    desk.changeText.fire({ document: new TextDocument(Uri.parse('output:/x'), '') });
    await until(() => checks() === 2);
  });

  it("has no names found missing in its companion where the table's first lines do not show it", async () => {
    const log = Uri.file('/w/foreign-table.csv');
    const companion = Uri.file(`${log.path}.header.yaml`);
    const header = readFileSync(join(samples, 'foreign-table.csv.header.yaml'), 'utf8');
    const table = readFileSync(join(samples, 'foreign-table.csv'), 'latin1').split('\n');
    const said = async (lines: (count: number) => string[]): Promise<string[]> => {
      desk.clear();
      desk.write(companion.path, Buffer.from(`${header}\nmistake: 1\n`));
      const logs = newLogs();
      const checks = new CompanionProblems(logs);
      parts = [...parts, logs, checks];
      logs.keep(log as unknown as vscode.Uri);
      const excerpt = ({ line, after }: { line: number; after: number }) =>
        Promise.resolve({ firstLine: line, lines: lines(after + 1) });
      starts.at(-1)!.answer(new Analysis({ ...emptySummary('f'), state: 'complete' }, { excerpt }));
      await until(() => (desk.diagnosed.get('underplate-companion') ?? 0) === 1);
      const shown = desk.diagnostics.get('underplate-companion')?.get(companion.toString()) ?? [];
      return shown.map(({ message }) => message);
    };
    const whole = await said((count) => table.slice(0, count));
    assert.equal(whole.length, 1);
    assert.match(whole[0]!, /mistake/);
    assert.deepEqual(await said(() => []), []);
    assert.deepEqual(await said((count) => Array<string>(Math.min(2000, count)).fill('# more')), []);
    assert.match((await said(() => ['# more', '# more'])).join(), /no row of names/);
  });

  it('is offered no fix whose place is that of an older version', async () => {
    const text = sampleText('header-mistakes.strain.csv');
    const document = new TextDocument(uri, text);
    desk.open(document);
    parts = [registerHeaderProblems()];
    const fixes = (): CodeAction[] =>
      desk.providers.get('fixes')!['provideCodeActions']!(document, new Range(0, 0, 60, 0)) as CodeAction[];
    await until(() => fixes().length > 0);
    const [first] = fixes();
    const { range } = first!.edit!.replaced[0]!;
    const lines = text.split('\n');
    document.type([lines[0], '# added', ...lines.slice(1)].join('\n'));
    assert.deepEqual(fixes(), []);
    document.type(text);
    await until(() => fixes().length > 0);
    assert.deepEqual(fixes()[0]!.edit!.replaced[0]!.range, range);
  });

  it('is not asked about rows that may stand elsewhere in the file', async () => {
    const text = sampleText('release.strain.csv').split('\n').slice(0, 300).join('\n');
    const row = text.split('\n').length - 20; // from 0
    const document = new TextDocument(uri, text);
    desk.open(document);
    desk.show(uri);
    const logs = newLogs();
    const books = new NoteBooks(logs);
    const threads = new NoteThreads(logs, books);
    const told: unknown[] = [];
    starts.at(-1)!.answer(await readText(text));
    await until(() => logs.get(uri as unknown as vscode.Uri)?.calls !== undefined);
    const view = { ...logs.get(uri as unknown as vscode.Uri), tell: (notice: unknown) => told.push(notice) };
    const { calls, summary } = logs.get(uri as unknown as vscode.Uri)!;
    Object.assign(view, { calls, summary });
    const views = { get: () => view, onDidGetReady: () => ({ dispose: () => undefined }) };
    parts = [logs, books, threads, new NoteCommands(logs, books, threads, () => undefined)];
    parts.push(registerRowHover(logs), registerCursorLink(views as never));
    const hover = async (): Promise<string> => {
      const shown = await desk.providers.get('hover')!['provideHover']!(document, { line: row, character: 0 });
      const { contents } = shown as Hover;
      return contents instanceof MarkdownString ? contents.value : String(contents);
    };
    const here = { line: row, character: 0 };
    const editor = { document, selection: { active: here, start: here, end: here } };
    window.activeTextEditor = editor;

    assert.match(await hover(), /principal|tensor/);
    desk.selection.fire({ textEditor: editor });
    await until(() => told.length === 1);

    document.type(`# typed\n${text}`);
    assert.match(await hover(), /Save the log first/);
    desk.selection.fire({ textEditor: editor });
    await pause(50);
    assert.equal(told.length, 1);
    await desk.commands.get('underplate.notes.add')!();
    assert.match(desk.said.at(-1) ?? '', /Save the log first/);
    const thread = { uri, range: new Range(row, 0, row, 0) };
    await desk.commands.get('underplate.notes.reply')!({ thread, text: 'lost?' });
    assert.equal(desk.files.size, 0);
  });
});

describe("a header's check that is due", () => {
  it('is dropped when the extension ends', async () => {
    desk.clear();
    desk.open(new TextDocument(uri, '# %ECSV 1.0\n'));
    registerHeaderProblems().dispose();
    await pause(50);
    assert.equal(desk.diagnosed.get('underplate-header'), undefined);
  });
});

describe('the outline', () => {
  it('says how many layers it does not list', async () => {
    desk.clear();
    const header = sampleText('release.strain.csv').split('\n');
    const names = header.findIndex((line) => !line.startsWith('#'));
    const rows = Array.from({ length: 5003 }, (_, layer) => `${layer},${layer}`);
    const document = new TextDocument(uri, [...header.slice(0, names + 1), ...rows].join('\n'));
    const logs = newLogs();
    const outline = registerOutline(logs);
    const entries = (await desk.providers.get('outline')!['provideDocumentSymbols']!(document)) as DocumentSymbol[];
    assert.equal(entries.filter(({ name }) => /^Layer \d+$/.test(name)).length, 5000);
    assert.equal(entries.at(-1)!.name, '3 more layers');
    outline.dispose();
    logs.dispose();
  });
});

describe('findings', () => {
  it('of a log without a row of names are left to the check of its header, where its text is open', async () => {
    desk.clear();
    const { registerFindings } = await import('../../src/extension/findings.ts');
    desk.open(new TextDocument(uri, ''));
    desk.show(uri);
    const logs = newLogs();
    const findings = registerFindings(logs, new CompanionProblems(logs));
    const problem = {
      range: wholeLine(1),
      severity: 'error',
      code: 'empty-log',
      message: 'The log is empty.',
    } as const;
    starts
      .at(-1)!
      .answer(new Analysis({ ...emptySummary('a'), state: 'complete', problems: [problem], problemCount: 1 }));
    await until(() => (desk.diagnosed.get('underplate') ?? 0) > 0);
    assert.deepEqual(desk.diagnostics.get('underplate')!.get(uri.toString()), []);
    findings.dispose();
    logs.dispose();
  });
});

describe('the note on large files', () => {
  it('is left to the analysis where the log is gone', async () => {
    desk.clear();
    let ready: ((view: unknown) => Promise<void>) | undefined;
    const views = {
      onDidGetReady: (listener: typeof ready) => {
        ready = listener;
        return { dispose: () => undefined };
      },
    };
    registerLargeFiles(views as never);
    await assert.doesNotReject(ready!({ uri, tell: () => assert.fail('nothing is known of its size') }));
  });
});
