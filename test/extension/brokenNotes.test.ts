import assert from 'node:assert/strict';
import '../support/editor/load.ts';
import type * as vscode from 'vscode';
import { emptySummary } from '../../src/messages/analysis.ts';
import { Analysis, starts } from '../support/editor/analyses.ts';
import { until } from '../support/editor/readText.ts';
import type { Diagnostic } from '../support/editor/standIn.ts';
import { desk } from '../support/editor/desk.ts';
import { Uri } from '../support/editor/standIn.ts';

const { Logs } = await import('../../src/extension/logs.ts');
const { NoteBooks } = await import('../../src/extension/noteBooks.ts');

const path = '/w/a.strain.csv';
const uri = Uri.file(path);
const log = uri as unknown as vscode.Uri;
const notesPath = `${path}.notes.yaml`;

describe('notes that cannot be read', () => {
  let parts: vscode.Disposable[] = [];

  /** The log open in a tab, and not analysed yet. */
  function open() {
    desk.show(uri);
    const logs = new Logs({} as vscode.ExtensionContext);
    const books = new NoteBooks(logs);
    parts = [books, logs];
    return books;
  }
  const told = (): readonly Diagnostic[] =>
    desk.diagnostics.get('underplate-notes')!.get(Uri.file(notesPath).toString()) ?? [];

  beforeEach(() => desk.clear());
  afterEach(() => parts.forEach((part) => part.dispose()));

  it('for another encoding are told, with the line, and never written over', async () => {
    const bytes = Buffer.from('log: a.strain.csv\nthreads:\n  # Riss im Bügel\n  []\n', 'latin1');
    desk.write(notesPath, bytes);
    assert.equal(await open().change(log, (notes) => ({ ...notes, threads: [] })), false);
    assert.deepEqual(desk.files.get(notesPath), bytes);
    assert.match(told()[0]!.message, /UTF-8/);
    assert.equal(told()[0]!.range.start.line + 1, 3);
  });

  it('for want of rights are told', async () => {
    const books = open();
    desk.beforeReading = (file) => {
      if (file === notesPath) throw new Error('EACCES: permission denied');
    };
    assert.equal(await books.change(log, (notes) => notes), false);
    assert.match(told()[0]!.message, /permission denied.*rights/);
  });

  it('leave no problem behind where their log is closed meanwhile, and one where it is opened again', async () => {
    desk.write(notesPath, 'threads: [');
    let goOn = (): void => undefined;
    const held = new Promise<void>((done) => (goOn = done));
    let asked = 0;
    desk.beforeReading = (file) => (file === notesPath && asked++ === 0 ? held : undefined);
    open();
    await until(() => asked === 1);
    desk.show();
    goOn();
    await new Promise((done) => setTimeout(done, 200));
    assert.deepEqual(told(), []);
    desk.show(uri);
    starts.at(-1)!.answer(new Analysis(emptySummary('a.strain.csv')));
    await until(() => told().length > 0);
    desk.show();
    assert.deepEqual(told(), []);
  });
});
