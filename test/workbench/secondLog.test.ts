import assert from 'node:assert/strict';
import { openDesk } from './setup.ts';
import { truthOf } from './sample.ts';
import { ViewPage } from './viewPage.ts';

const log = 'release.strain.csv';
const second = 'sick-sensor.strain.csv';

describe('a second log behind the first, in the editor', () => {
  it('is chosen in the view, says what its cells do without, and goes again', async () => {
    const { editor } = await openDesk([log, second].map((name) => `sample-logs/${name}`));
    await editor.openFile(log);
    const view = await ViewPage.open(editor);
    const channel = truthOf(second).find(({ kind }) => kind === 'jump')?.channels[0];
    assert.ok(channel?.startsWith('A1_'), 'of the first cell');
    await view.cellOnMap(0).click();

    await view.button(/^Second log…/).click();
    await editor.choice(second).click();
    const note = view.frame.locator('.sick-key', { hasText: `${second}: A1 without ${channel} from layer` }).first();
    await note.waitFor();

    await view.button(/^Second log…/).click();
    await editor.choice('No second log').click();
    await note.waitFor({ state: 'hidden' });
  });
});
