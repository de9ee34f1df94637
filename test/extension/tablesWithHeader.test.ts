import assert from 'node:assert/strict';
import '../support/editor/load.ts';
import manifest from '../../package.json' with { type: 'json' };
import { desk } from '../support/editor/desk.ts';
import { Uri } from '../support/editor/standIn.ts';

const { registerTablesWithHeader } = await import('../../src/extension/tablesWithHeader.ts');

describe('tables with a header beside them', () => {
  it('are told to the menus, which offer the plate view for them as for logs by name', async () => {
    const [key] = Object.values(manifest.contributes.menus)
      .flat()
      .filter(({ command, when }) => command === 'underplate.openView' && when.includes('resource'))
      .map(({ when }) => /^resourceFilename =~ .* \|\| resourcePath in (\S+)$/.exec(when)?.[1]);
    assert.ok(key);
    desk.clear();
    for (const name of ['monday.csv', 'monday.csv.header.yaml', 'other.csv']) desk.write(`/w/${name}`, Buffer.from(''));
    const told = (): unknown => desk.context.get(key);
    const registered = registerTablesWithHeader();
    await new Promise((done) => setTimeout(done));
    const [monday, tuesday] = ['/w/monday.csv', '/w/tuesday.csv'];
    assert.deepEqual(told(), [monday]);
    desk.fileMade.fire(Uri.file('/w/tuesday.csv.header.yaml'));
    assert.deepEqual(told(), [monday, tuesday]);
    desk.fileGone.fire(Uri.file('/w/monday.csv.header.yaml'));
    assert.deepEqual(told(), [tuesday]);
    registered.dispose();
  });
});
