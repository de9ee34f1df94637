import { Office } from './desk.ts';
import { ViewPage } from './viewPage.ts';

const log = 'release.strain.csv';

describe('in a browser window, without Node', () => {
  let office: Office;

  before(async () => {
    office = await Office.open({ 'remote.extensionKind': { 'underplate.underplate': ['web'] } });
  });

  after(() => office.close());

  it('reads a log, shows its view and leads to its lines', async () => {
    const { editor } = await office.desk([`sample-logs/${log}`]);
    await editor.openFile(log);
    const problems = await editor.openProblems();
    await problems.filter({ hasText: 'bracket 1 at layer 44' }).first().waitFor();
    const view = await ViewPage.open(editor);
    await view
      .events(/bracket 1.*layer 44/)
      .first()
      .click();
    await view.caption('layer 44').waitFor();
  });
});
