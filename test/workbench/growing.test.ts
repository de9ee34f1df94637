import { appendFileSync } from 'node:fs';
import { join } from 'node:path';
import { sampleText } from './sample.ts';
import { openDesk } from './setup.ts';
import { ViewPage } from './viewPage.ts';

const log = 'good-build.strain.csv';

describe('a growing log', () => {
  it('is followed: rows that are appended reach the view', async () => {
    const { editor, folder } = await openDesk([`sample-logs/${log}`]);
    await editor.openFile(log);
    const view = await ViewPage.open(editor);
    const lines = sampleText(log).trimEnd().split('\n');
    const [time = '', ...fields] = lines.at(-1)?.split(',') ?? [];
    const rows = lines.filter((line) => !line.startsWith('#')).length - 1;
    for (let added = 1; added <= 5; added++) {
      appendFileSync(join(folder, log), `${Number(time) + added},${fields.join(',')}\n`);
    }
    const digits = String(rows + 5)
      .split('')
      .join('\\D?');
    await view.frame.getByText(new RegExp(`${digits} rows`)).waitFor();
  });
});
