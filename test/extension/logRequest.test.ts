import assert from 'node:assert/strict';
import '../support/editor/load.ts';
import type * as vscode from 'vscode';
import { LogAnalysis } from '../../src/worker/logAnalysis.ts';
import { sampleText } from '../workbench/sample.ts';
import { desk } from '../support/editor/desk.ts';
import { Uri } from '../support/editor/standIn.ts';

const { workspaceSource } = await import('../../src/extension/logRequest.ts');

const path = '/w/a.strain.csv';
const uri = Uri.from({ scheme: 'memory', path }) as unknown as vscode.Uri;
const text = (bytes: Uint8Array): string => new TextDecoder().decode(bytes);

describe("a log's bytes by way of the editor", () => {
  let readings = 0;
  beforeEach(() => {
    desk.clear();
    readings = 0;
    desk.beforeReading = () => void readings++;
  });

  it('are read once for many ranges', async () => {
    desk.write(path, '0123456789');
    const source = workspaceSource(uri);
    assert.equal(await source.size(), 10);
    assert.equal(text(await source.read(0, 4)), '0123');
    assert.equal(await source.size(), 10);
    assert.equal(text(await source.read(4, 100)), '456789');
    assert.equal(readings, 1);
  });

  it('are those of the file that stands there when its size is asked for', async () => {
    desk.write(path, '0123456789');
    const source = workspaceSource(uri);
    await source.read(0, 4);
    for (const later of ['abcdefg', 'ABCDEFG', 'ABCDEFGHIJK']) {
      desk.write(path, later);
      assert.equal(await source.size(), later.length);
      assert.equal(text(await source.read(0, 4)), later.slice(0, 4));
    }
  });

  it('tell of a shorter log in the place of one that is followed', async () => {
    const [before, after] = ['release.strain.csv', 'good-build-2.strain.csv'].map(sampleText);
    const shorter = after!.split('\n').slice(0, 300).join('\n');
    const { signal } = new AbortController();
    const read = async (source = workspaceSource(uri)): Promise<LogAnalysis> => {
      const analysis = new LogAnalysis({ source }, { name: 'a', settings: {} });
      await analysis.run(signal);
      return analysis;
    };
    desk.write(path, before!);
    const followed = await read();
    desk.write(path, shorter);
    assert.equal(await followed.readOn(signal), 'anew');
    const fresh = (await read()).summary;
    assert.equal(followed.summary.rows, fresh.rows);
    assert.equal(followed.summary.header?.build.name, fresh.header?.build.name);
    assert.notEqual(fresh.header?.build.name, undefined);
  });
});
