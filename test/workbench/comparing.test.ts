import { truthOf } from './sample.ts';
import { openDesk } from './setup.ts';

const before = 'release.strain.csv';
const after = 'sick-sensor.strain.csv';

describe('two logs side by side in a comparison', () => {
  it('are both read, and what is found in each stands in its own side', async () => {
    const { editor, page } = await openDesk([before, after].map((name) => `sample-logs/${name}`));
    const choose = async (name: string, item: string): Promise<void> => {
      await editor.explorerItem(name).click({ button: 'right' });
      const entry = page.getByRole('menuitem', { name: item });
      // A menu that has only just come up may swallow a click.
      do {
        await entry.click();
        await entry.waitFor({ state: 'hidden', timeout: 3000 }).catch(() => undefined);
      } while (await entry.isVisible());
    };
    await choose(before, 'Select for Compare');
    await choose(after, 'Compare with Selected');
    await page.locator('.monaco-diff-editor').waitFor();
    const problems = await editor.openProblems();
    const [part] = truthOf(before).flatMap((event) => event.part ?? []);
    await problems.filter({ hasText: before }).first().waitFor();
    await problems.filter({ hasText: after }).first().waitFor();
    // The break of one log leads into the left side, whose line it is.
    await problems
      .filter({ hasText: `Release under ${part}` })
      .first()
      .waitFor();
    await problems
      .filter({ hasText: /Sensor jump|Spike|Sensor wander/ })
      .first()
      .waitFor();
  });
});
