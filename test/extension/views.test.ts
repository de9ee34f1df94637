import assert from 'node:assert/strict';
import '../support/editor/load.ts';
import type * as vscode from 'vscode';
import { toWire } from '../../src/messages/wire.ts';
import { until } from '../support/editor/readText.ts';
import { Panel, desk } from '../support/editor/desk.ts';
import { Uri } from '../support/editor/standIn.ts';

const { Logs } = await import('../../src/extension/logs.ts');
const { NoteBooks } = await import('../../src/extension/noteBooks.ts');
const { Views } = await import('../../src/extension/views.ts');

const uri = Uri.file('/w/a.strain.csv');
const asked = uri as unknown as vscode.Uri;

/** The extension's start with these texts open. */
function start(...open: Uri[]) {
  desk.show(...open);
  const logs = new Logs({} as vscode.ExtensionContext);
  const books = new NoteBooks(logs);
  const views = new Views(Uri.file('/x') as unknown as vscode.Uri, logs, books, {} as never);
  return { logs, views, end: () => [views, books, logs].forEach((part) => part.dispose()) };
}

function logOf(panel: Panel): string | undefined {
  return /data-log="([^"]*)"/.exec((panel.webview as { html?: string }).html ?? '')?.[1];
}

describe('views', () => {
  beforeEach(() => desk.clear());

  it('open with their logs where that is set, with those that are open at the start, too', () => {
    desk.settings.set('underplate.view.openWithLog', true);
    const { end } = start(uri);
    assert.deepEqual(desk.panels.map(logOf), [uri.toString()]);
    const other = Uri.file('/w/b.strain.csv');
    desk.show(uri, other);
    assert.deepEqual(desk.panels.map(logOf), [uri.toString(), other.toString()]);
    end();
  });

  it('do not open beside a tab of an earlier start, which is restored when it is come back to', () => {
    desk.settings.set('underplate.view.openWithLog', true);
    desk.otherTabs.push('Plate: a.strain.csv');
    const { end } = start(uri);
    assert.equal(desk.panels.length, 0);
    end();
  });

  it('are one a log, even where one of an earlier start is restored late', async () => {
    const { views, end } = start(uri);
    const view = views.open(asked);
    const late = new Panel();
    await desk.serializer!.deserializeWebviewPanel(late, { log: uri.toString() });
    assert.ok(late.disposed);
    assert.equal(views.get(asked), view);
    end();
  });

  it('go with a log that is renamed, and with its folder', () => {
    const { views, end } = start(uri);
    const { panel } = views.open(asked);
    const renamed = Uri.file('/w/b.strain.csv');
    desk.renamed.fire({ files: [{ oldUri: uri, newUri: renamed }] });
    assert.equal(views.get(asked), undefined);
    assert.equal(views.get(renamed as unknown as vscode.Uri)?.panel, panel);
    desk.renamed.fire({ files: [{ oldUri: Uri.file('/w'), newUri: Uri.file('/v') }] });
    const [shown] = desk.panels;
    assert.equal(views.get(Uri.file('/v/b.strain.csv') as unknown as vscode.Uri)?.panel, panel);
    assert.equal(logOf(shown!), Uri.file('/v/b.strain.csv').toString());
    assert.ok(!shown!.disposed);
    end();
  });

  it('say why what their page asks for does not come about', async () => {
    const logs = new Logs({} as vscode.ExtensionContext);
    const books = new NoteBooks(logs);
    const failing = { onNotice: () => Promise.reject(new Error('the log was closed meanwhile')) };
    const views = new Views(Uri.file('/x') as unknown as vscode.Uri, logs, books, failing as never);
    const { panel } = views.open(asked);
    const notice = { underplate: 'notice', id: 0, name: '', body: { type: 'addNote', timeS: 1, cell: 0, eventId: '' } };
    (panel as unknown as Panel).received.fire(toWire(notice));
    await until(() => desk.said.length > 0);
    assert.deepEqual(desk.said, ['the log was closed meanwhile']);
    [views, books, logs].forEach((part) => part.dispose());
  });

  it('keep their second log where either is renamed', () => {
    const second = Uri.file('/w/good.strain.csv');
    const { logs, views, end } = start(uri);
    views.open(asked).setReference(second as unknown as vscode.Uri);
    const rename = (oldUri: Uri, newUri: Uri): void => desk.renamed.fire({ files: [{ oldUri, newUri }] });
    const behind = (log: string): string | undefined =>
      views.get(Uri.file(log) as unknown as vscode.Uri)?.reference?.path;
    rename(second, Uri.file('/w/better.strain.csv'));
    assert.equal(behind(uri.path), '/w/better.strain.csv');
    assert.deepEqual(
      logs.all().map((log) => log.uri.path),
      [uri.path, '/w/better.strain.csv'],
      'nobody keeps the old name',
    );
    rename(uri, Uri.file('/w/b.strain.csv'));
    assert.equal(behind('/w/b.strain.csv'), '/w/better.strain.csv');
    rename(Uri.file('/w'), Uri.file('/v'));
    assert.equal(behind('/v/b.strain.csv'), '/v/better.strain.csv');
    end();
  });

  it('open with logs of one name in several folders', () => {
    desk.settings.set('underplate.view.openWithLog', true);
    const monday = Uri.file('/monday/build.strain.csv');
    const tuesday = Uri.file('/tuesday/build.strain.csv');
    const { end } = start(monday);
    desk.show(monday, tuesday);
    assert.deepEqual(desk.panels.map(logOf), [monday, tuesday].map(String));
    desk.otherTabs.push('Plate: build.strain.csv');
    desk.show(monday, tuesday, Uri.file('/friday/build.strain.csv'));
    assert.equal(desk.panels.length, 2, 'one of an earlier start may be this one');
    end();
  });

  it('are one a log, even where its text takes the new name before the renaming is told', () => {
    desk.settings.set('underplate.view.openWithLog', true);
    const { views, end } = start(uri);
    const renamed = Uri.file('/w/b.strain.csv');
    desk.show(renamed);
    desk.renamed.fire({ files: [{ oldUri: uri, newUri: renamed }] });
    const left = desk.panels.filter(({ disposed }) => !disposed);
    assert.deepEqual(left.map(logOf), [renamed.toString()]);
    assert.equal(views.get(renamed as unknown as vscode.Uri)?.panel, left[0]);
    end();
  });
});
