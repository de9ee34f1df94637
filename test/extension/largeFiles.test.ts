import assert from 'node:assert/strict';
import '../support/editor/load.ts';
import { EventEmitter, Uri, workspace } from '../support/editor/standIn.ts';

const { registerLargeFiles } = await import('../../src/extension/largeFiles.ts');

/** What the view of a log of so many bytes is told. */
async function noteOf(size: number): Promise<string> {
  const { stat } = workspace.fs;
  workspace.fs.stat = () => Promise.resolve({ size, mtime: 0 });
  const ready = new EventEmitter<unknown>();
  const note = new Promise<string>((done) => {
    const views = { onDidGetReady: ready.event } as unknown as Parameters<typeof registerLargeFiles>[0];
    registerLargeFiles(views);
    ready.fire({ uri: Uri.file('/w/a.strain.csv'), tell: (told: { note: string }) => done(told.note) });
  });
  const told = await note;
  workspace.fs.stat = stat;
  return told;
}

describe('the limit on the size of logs', () => {
  it('is told as the editor and the manual count it, and by nothing that contradicts itself', async () => {
    // The editor's own source: 50 * 1024 * 1024 bytes.
    const limit = 50 * 1024 * 1024;
    assert.equal(await noteOf(limit), '');
    const [, size, above] = /This log is (\d+) MB\. Above (\d+) MB/.exec(await noteOf(limit + 1))!;
    assert.equal(Number(above), 50);
    assert.ok(Number(size) > Number(above));
  });
});
