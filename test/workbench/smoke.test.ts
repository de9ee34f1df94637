import { openDesk } from './setup.ts';
describe('the editor', () => {
  it('starts with our extension', async () => {
    const { editor, page } = await openDesk(['test/workbench/fixtures/mistake.strain.csv']);
    await editor.openFile('mistake.strain.csv');
    await editor.notification('hello').waitFor();
    await page.screenshot({ path: '/tmp/g-smoke.png' });
  });
});
