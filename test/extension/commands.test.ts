import assert from 'node:assert/strict';
import '../support/editor/load.ts';
import type * as vscode from 'vscode';
import { sampleText } from '../workbench/sample.ts';
import { starts } from '../support/editor/analyses.ts';
import { forgetTexts, readText, until } from '../support/editor/readText.ts';
import { TextDocument, desk } from '../support/editor/desk.ts';
import { Uri, window } from '../support/editor/standIn.ts';

const { Logs } = await import('../../src/extension/logs.ts');
const { NoteBooks } = await import('../../src/extension/noteBooks.ts');
const { Views } = await import('../../src/extension/views.ts');
const { registerCommands } = await import('../../src/extension/commands.ts');

describe('going from event to event', () => {
  let parts: { dispose(): void }[] = [];

  /** A log of its own, read, in a tab; its events' lines from the first to the last. */
  async function open(path: string) {
    const uri = Uri.file(path);
    desk.show(uri);
    const logs = new Logs({} as vscode.ExtensionContext);
    const books = new NoteBooks(logs);
    const views = new Views(Uri.file('/x') as unknown as vscode.Uri, logs, books, {} as never);
    parts = [registerCommands(logs, views), views, books, logs];
    starts.at(-1)!.answer(await readText(sampleText('sick-sensor.strain.csv')));
    const summary = () => logs.get(uri as unknown as vscode.Uri)?.summary;
    await until(() => summary()?.state === 'complete');
    const lines = [...new Set(summary()!.events.map(({ line }) => line))].sort((a, b) => a - b);
    assert.ok(lines.length >= 3, 'a log with some events');
    return { uri, lines };
  }
  const run = (name: string, ...given: unknown[]): unknown => desk.commands.get(`underplate.${name}`)!(...given);
  const ledTo = (): number[] => desk.opened.map(({ line }) => line);

  beforeEach(() => desk.clear());
  afterEach(() => parts.forEach((part) => part.dispose()));
  after(forgetTexts);

  it('goes on where the editor tells of no cursor, as with a large log', async () => {
    const { uri, lines } = await open('/w/large.strain.csv');
    for (let press = 0; press <= lines.length; press++) await run('nextEvent', uri);
    assert.deepEqual(ledTo(), [...lines, lines[0]]);
    await run('previousEvent', uri);
    assert.equal(ledTo().at(-1), lines.at(-1));
  });

  it('goes on from what was shown by other ways, and from the cursor where one is known', async () => {
    const { uri, lines } = await open('/w/chosen.strain.csv');
    desk.answers.push(`:${lines[1]}`);
    await run('goToTime', uri);
    await run('nextEvent', uri);
    assert.deepEqual(ledTo(), [lines[1], lines[2]]);
    const document = new TextDocument(uri, '');
    window.activeTextEditor = { document, selection: { active: { line: lines[0]! - 1, character: 0 } } };
    await run('nextEvent', uri);
    assert.equal(ledTo().at(-1), lines[1]);
  });
});
