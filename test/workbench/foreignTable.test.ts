import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { openDesk } from './setup.ts';
import { ViewPage } from './viewPage.ts';

const table = 'foreign-table.csv';
const companion = `${table}.header.yaml`;

describe('a foreign table with a header beside it', () => {
  it('has the view at its icon, is read as it is, and mistakes of its header stand in the header', async () => {
    const { editor, folder } = await openDesk([`sample-logs/${table}`, `sample-logs/${companion}`]);
    await editor.openFile(table);
    await editor.titleAction('Open Plate View').click();
    const view = await ViewPage.shown(editor);
    await view.frame
      .getByText(/9 cells|[1-9]\d* cells/)
      .first()
      .waitFor();

    const file = join(folder, companion);
    const text = readFileSync(file, 'utf8');
    writeFileSync(file, text.replace(/thickness: (\S+) \w+/, 'thickness: $1 kg'));
    await editor.runCommand('Underplate: Read the Log Again');
    const problems = await editor.openProblems();
    await problems.filter({ hasText: "'kg'" }).first().waitFor();
    await problems.filter({ hasText: companion }).first().waitFor();
  });
});
