import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { root } from './desk.ts';
import { lineWhere, placeOf, sampleText } from './sample.ts';
import { openDesk } from './setup.ts';

const log = 'header-mistakes.strain.csv';
describe('the header in the editor', () => {
  it('shows a mistake at its exact range, the same as the command', async () => {
    const { editor, page } = await openDesk([`sample-logs/${log}`]);
    await editor.openFile(log);
    const problems = await editor.openProblems();
    const entry = problems.filter({ hasText: "'MPa' is a stress" });
    await entry.dblclick();
    const [, before = '', wrong = ''] = /(height: )(\d+ MPa)/.exec(sampleText(log)) ?? [];
    const place = placeOf(before + wrong, sampleText(log));
    const { line, column } = { line: place.line, column: place.column + before.length };
    await editor.cursorLine(line);
    await page.locator('.statusbar-item', { hasText: `(${wrong.length} selected)` }).waitFor();
    assert.deepEqual(await editor.cursorPosition(), { line, column: column + wrong.length });

    const command = join(root, 'dist/cli/main.mjs');
    const json = execFileOutput(process.execPath, [
      command,
      'check',
      join(root, 'sample-logs', log),
      '--format',
      'json',
    ]);
    const found = JSON.parse(json) as { logs: { problems: { line: number; column: number; code: string }[] }[] };
    const same = found.logs[0]?.problems.find((problem) => problem.code === 'unit-mismatch');
    assert.deepEqual({ line: same?.line, column: same?.column }, { line, column });
  });

  it('mends a mistake that has one right answer, by keyboard', async () => {
    const { editor, page } = await openDesk([`sample-logs/${log}`]);
    await editor.openFile(log);
    await editor.openProblems();
    await page.locator('.markers-panel .monaco-list-row', { hasText: "'brag'" }).waitFor();
    const { line, column } = placeOf('brag,', sampleText(log));
    await editor.goToLine(line, column);
    await editor.chooseFix("Change to 'bragg'");
    await editor.visibleLine('A1_up_45: {cell: A1, plane: up, kind: bragg,').waitFor();
    await page.locator('.markers-panel .monaco-list-row', { hasText: "'brag'" }).waitFor({ state: 'detached' });
  });

  it('judges as one types', async () => {
    const { editor, page } = await openDesk(['sample-logs/release.strain.csv']);
    await editor.openFile('release.strain.csv');
    const problems = await editor.openProblems();
    const unitless = problems.filter({ hasText: '30 has no unit' });
    const { line, column } = placeOf('thickness: 30 mm', sampleText('release.strain.csv'));
    await editor.goToLine(line, column + 'thickness: 30 mm'.length);
    for (let typed = 0; typed < ' mm'.length; typed++) await page.keyboard.press('Backspace');
    await unitless.waitFor();
    await page.keyboard.type(' mm');
    await unitless.waitFor({ state: 'detached' });
  });

  it('works in restricted mode', async () => {
    const { editor, page } = await openDesk([`sample-logs/${log}`], { trust: false });
    await page.locator('.statusbar-item', { hasText: 'Restricted Mode' }).waitFor();
    await editor.openFile(log);
    const problems = await editor.openProblems();
    await problems.filter({ hasText: "'MPa' is a stress" }).waitFor();
  });

  it('has an outline of its blocks and layers', async () => {
    const { editor, page } = await openDesk(['sample-logs/release.strain.csv']);
    await editor.openFile('release.strain.csv');
    await page.keyboard.press('Control+Shift+O');
    const entry = page.locator('.quick-input-list .monaco-list-row');
    await entry.filter({ hasText: 'Header' }).first().waitFor();
    await page.keyboard.type('Layer 20');
    await entry.filter({ hasText: 'Layer 20' }).first().waitFor();
    await page.keyboard.press('Enter');
    await editor.cursorLine(lineWhere(sampleText('release.strain.csv'), (fields) => fields[1] === '20'));
  });
});

/** Output of a command that ends with 1 where it finds something. */
function execFileOutput(file: string, args: readonly string[]): string {
  try {
    return execFileSync(file, args, { encoding: 'utf8' });
  } catch (error) {
    return (error as { stdout: string }).stdout;
  }
}
