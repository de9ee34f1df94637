import assert from 'node:assert/strict';
import '../support/editor/load.ts';
import type * as vscode from 'vscode';
import { TabInputText, Uri, ViewColumn, window, workspace } from '../support/editor/standIn.ts';

const { excerptUri, showExcerpt } = await import('../../src/extension/excerpt.ts');

const log = Uri.file('/w/a.strain.csv') as unknown as vscode.Uri;
const view = { label: 'a plate', input: undefined };
const text = (uri: unknown) => ({ label: 'text', input: new TabInputText(uri as Uri) });

interface Group {
  readonly viewColumn: number;
  readonly tabs: readonly { readonly input: unknown }[];
  readonly activeTab: { readonly input: unknown } | undefined;
}

const group = (viewColumn: number, ...tabs: Group['tabs']): Group => ({ viewColumn, tabs, activeTab: tabs[0] });

/** The column in which the excerpt is shown, of an editor with these groups, the first of which is active. */
async function columnWith(...groups: Group[]): Promise<number | undefined> {
  let column: number | undefined;
  const { tabGroups } = window;
  const lines = ['# lines 1 to 400 of a.strain.csv', 'time,A1', ...Array.from({ length: 400 }, () => '0,0')];
  Object.assign(workspace, {
    openTextDocument: (uri: unknown) => ({
      uri,
      lineCount: lines.length,
      lineAt: (at: number) => ({ text: lines[at] }),
    }),
  });
  Object.assign(window, {
    tabGroups: { all: groups, activeTabGroup: groups[0] },
    showTextDocument: (_: unknown, options: { readonly viewColumn?: number }) => void (column = options.viewColumn),
  });
  await showExcerpt(log, 200);
  Object.assign(window, { tabGroups });
  return column;
}

describe('an excerpt of a log', () => {
  it("opens where the log's text is, not over the view that it serves", async () => {
    assert.equal(await columnWith(group(2, view), group(1, text(log))), 1);
    assert.equal(await columnWith(group(1, view), group(3, text(log))), 3);
  });

  it('opens where it stands already', async () => {
    assert.equal(await columnWith(group(2, view), group(1, text(excerptUri(log, 200)))), 1);
  });

  it('opens beside a view that is all there is', async () => {
    assert.equal(await columnWith(group(1, view)), 2);
    assert.equal(await columnWith(group(2, view), group(1)), 1);
  });

  it('opens among other texts where one of them is in front', async () => {
    const other = text(Uri.file('/w/read.me'));
    assert.equal(await columnWith(group(2, other), group(1, view)), ViewColumn.Active);
  });
});
