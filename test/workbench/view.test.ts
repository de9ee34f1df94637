import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { themes } from './desk.ts';
import { lineAtTime, lineWhere, sampleText, truthOf } from './sample.ts';
import { openDesk } from './setup.ts';
import { ViewPage } from './viewPage.ts';

const log = 'release.strain.csv';
/** Rows between the true onset and the line that is shown for it. */
const rowsOff = 3;

describe('the view beside the text', () => {
  it('leads from an event to its line', async () => {
    const { editor } = await openDesk([`sample-logs/${log}`]);
    await editor.openFile(log);
    const view = await ViewPage.open(editor);
    const release = truthOf(log).find(({ kind }) => kind === 'release');
    assert.ok(release);
    const event = view.events(new RegExp(`${release.part}.*layer ${release.layer}`)).first();
    await event.click();
    const { line } = await editor.cursorNear(lineAtTime(sampleText(log), release.time_s), rowsOff);
    await view.caption(`line ${line}`).waitFor();
  });

  it('follows the text cursor', async () => {
    const { editor } = await openDesk([`sample-logs/${log}`]);
    await editor.openFile(log);
    const view = await ViewPage.open(editor);
    await editor.focusText(log);
    const line = lineWhere(sampleText(log), (fields) => fields[1] === '30');
    await editor.goToLine(line);
    await view.caption(new RegExp(`layer 30, line ${line}\\b`)).waitFor();
  });

  it('is worked by keyboard alone', async () => {
    const { editor, page } = await openDesk([`sample-logs/${log}`]);
    await editor.openFile(log);
    const view = await ViewPage.open(editor);
    await view.frame.getByRole('listbox', { name: 'Events' }).focus();
    await page.keyboard.press('End');
    const last = view.frame.locator('[role=option][data-event]').last();
    assert.equal(await last.getAttribute('aria-selected'), 'true');
    await page.keyboard.press('Enter');
    await page.locator('.tab.active', { hasText: log }).first().waitFor();
    await page.locator('.editor-group-container.active .monaco-editor.focused').waitFor();
  });

  it('is restored when the window is loaded again', async () => {
    const { editor, page } = await openDesk([`sample-logs/${log}`]);
    await editor.openFile(log);
    await ViewPage.open(editor);
    await page.waitForTimeout(1000); // the page leaves its state with the editor a moment after the last change
    await editor.reloadWindow();
    const view = await ViewPage.shown(editor);
    assert.ok((await view.events(/./).count()) > 0);
  });

  it('saves its plots beside the log, as pictures and as a table', async () => {
    const { editor, folder } = await openDesk([`sample-logs/${log}`]);
    await editor.openFile(log);
    const view = await ViewPage.open(editor);
    const saved = async (button: string, name: string): Promise<Buffer> => {
      await view.frame
        .locator('.plots')
        .getByRole('button', { name: new RegExp(`^${button}`) })
        .click();
      await editor.saveAsOffered();
      await editor.statusItem(`saved ${name}`).waitFor();
      return readFileSync(join(folder, name));
    };
    assert.deepEqual(
      [...(await saved('PNG', 'release.plots.png')).subarray(1, 4)].map((byte) => String.fromCharCode(byte)).join(''),
      'PNG',
    );
    assert.match((await saved('SVG', 'release.plots.svg')).toString(), /^<svg xmlns.*<\/svg>$/s);
    const [names, ...rows] = (await saved('CSV', 'release.window.csv')).toString().trim().split('\r\n');
    assert.match(names!, /^time \[s\],A1_up_e1 \[µm\/m\]/);
    const times = sampleText(log)
      .split('\n')
      .filter((line) => /^[\d.]+,/.test(line))
      .map((line) => Number(line.split(',')[0]));
    assert.deepEqual(
      rows.map((row) => Number(row.split(',')[0])),
      times,
    );
  });

  for (const [name, theme] of Object.entries(themes)) {
    it(`has nothing serious against it for those who see or move otherwise, in ${name}`, async () => {
      const { editor } = await openDesk([`sample-logs/${log}`], { settings: { 'workbench.colorTheme': theme } });
      await editor.openFile(log);
      const view = await ViewPage.open(editor);
      await view.events(/./).first().click();
      const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
      await view.frame.evaluate(axe);
      const found = await view.frame.evaluate<AxeResult>(
        "axe.run(document.querySelector('[data-underplate]'), { resultTypes: ['violations'] })",
      );
      const serious = found.violations.filter(({ impact }) => impact === 'serious' || impact === 'critical');
      assert.deepEqual(
        serious.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' | ')}`),
        [],
      );
    });
  }
});

interface AxeResult {
  readonly violations: readonly {
    readonly id: string;
    readonly impact: string | null;
    readonly nodes: readonly { readonly html: string }[];
  }[];
}
