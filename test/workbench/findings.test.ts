import assert from 'node:assert/strict';
import { appendFileSync } from 'node:fs';
import { join } from 'node:path';
import { askProbe } from './askProbe.ts';
import { lineAtTime, lineWhere, sampleText, truthOf } from './sample.ts';
import { openDesk } from './setup.ts';
import { ViewPage } from './viewPage.ts';

const log = 'release.strain.csv';
const text = sampleText(log);
const release = truthOf(log)[0];
assert.ok(release);
const onsetLine = lineAtTime(text, release.time_s);

interface Finding {
  /** 0 error, 1 warning, 2 information. */
  readonly severity: number;
  readonly message: string;
}

describe('findings in the editor', () => {
  it('stand in the list of problems and lead to their line', async () => {
    const { editor } = await openDesk([`sample-logs/${log}`]);
    await editor.openFile(log);
    const problems = await editor.openProblems();
    const entry = problems.filter({ hasText: new RegExp(`${release.part} at layer ${release.layer}`) }).first();
    await entry.dblclick();
    await editor.cursorNear(onsetLine, 3);
  });

  it('are listed worst first as far as the editor lists them, and the rest is counted', async () => {
    const { editor, folder } = await openDesk([`sample-logs/${log}`]);
    const short = 2000;
    appendFileSync(join(folder, log), '12\n'.repeat(short));
    await editor.openFile(log);
    await editor.statusItem(/2000 data/).waitFor();
    const { list } = await askProbe<{ list: Finding[] }>(folder, { findings: log });
    const severities = list.map(({ severity }) => severity);
    assert.deepEqual(severities, severities.toSorted());
    assert.match(list[0]!.message, new RegExp(release.part));
    const told = list.filter(({ message }) => /field/.test(message));
    const folded = told.map(({ message }) => Number(/\(and (\d+) more like it\)/.exec(message)?.[1] ?? 0));
    assert.equal(
      folded.reduce((sum, more) => sum + more, told.length),
      short,
    );
  });

  it('are told above their line and marked beside it', async () => {
    const { editor, page } = await openDesk([`sample-logs/${log}`]);
    await editor.openFile(log);
    await editor.goToLine(onsetLine);
    await page.locator('.codelens-decoration', { hasText: `${release.part} at layer ${release.layer}` }).waitFor();
    await page.locator('.glyph-margin-widgets .cgmr').first().waitFor();
  });

  it('are counted in the status bar, which opens the view', async () => {
    const { editor, page } = await openDesk([`sample-logs/${log}`]);
    await editor.openFile(log);
    await editor.statusItem(/\d+ mechanical/).click();
    await page.locator('.tab', { hasText: `Plate: ${log}` }).waitFor();
  });

  it('can be walked through by command', async () => {
    const { editor } = await openDesk([`sample-logs/${log}`]);
    await editor.openFile(log);
    await editor.statusItem(/\d+ mechanical/).waitFor();
    await editor.goToLine(onsetLine - 20);
    await editor.runCommand('Underplate: Go to Next Event');
    await editor.cursorNear(onsetLine, 3);
  });

  it('has a hover on each row with the state of the cell there', async () => {
    const { editor, page } = await openDesk([`sample-logs/${log}`]);
    await editor.openFile(log);
    await editor.statusItem(/\d+ mechanical/).waitFor();
    const line = lineWhere(text, (fields) => fields[1] === '30');
    const row = text.split('\n')[line - 1] ?? '';
    const inA1up0 = row.split(',').slice(0, 3).join(',').length + 2;
    await editor.goToLine(line, inA1up0);
    await editor.runCommand('Show or Focus Hover');
    const hover = page.locator('.monaco-hover', { hasText: 'larger principal' }).first();
    await hover.waitFor();
    const shown = await hover.innerText();
    assert.match(shown, /A1_up_0.*bragg/);
    assert.match(shown, /A1 up/);
    assert.match(shown, /µm\/m/);
    assert.doesNotMatch(shown, /NaN|Infinity|undefined/);
  });

  it('has a hover that says which channel the cell is without, since when and why', async () => {
    const sick = 'sick-sensor.strain.csv';
    const { editor, page } = await openDesk([`sample-logs/${sick}`]);
    await editor.openFile(sick);
    await editor.statusItem(/plate: .*sensor/).waitFor();
    const lines = sampleText(sick);
    const line = lineWhere(lines, (fields) => fields[1] === '30');
    const names = lines
      .split('\n')
      .find((one) => one.startsWith('time,'))!
      .split(',');
    const row = lines.split('\n')[line - 1] ?? '';
    const inA1 = row.split(',').slice(0, names.indexOf('A1_up_0')).join(',').length + 3;
    await editor.goToLine(line, inA1);
    await editor.runCommand('Show or Focus Hover');
    const hover = page.locator('.monaco-hover', { hasText: 'larger principal' }).first();
    await hover.waitFor();
    assert.match(await hover.innerText(), /A1 up without A1_up_45 from layer 15: jump/);
  });

  it('reads lines around a place as an excerpt with the numbers of the log', async () => {
    const { editor, page } = await openDesk([`sample-logs/${log}`]);
    await editor.openFile(log);
    await editor.statusItem(/\d+ mechanical/).waitFor();
    await editor.runCommand('Underplate: Show Lines Around a Place');
    await editor.answer(`:${onsetLine}`);
    await page.locator('.tab.active', { hasText: `around line ${onsetLine}` }).waitFor();
    const time = text.split('\n')[onsetLine - 1]?.split(',')[0] ?? '';
    await editor.visibleLine(`${time},${release.layer},`).first().waitFor();
    await page.locator('.codelens-decoration', { hasText: `${release.part} at layer` }).waitFor();
  });

  it('ties an excerpt to the view as the log itself is', async () => {
    const { editor, page } = await openDesk([`sample-logs/${log}`]);
    await editor.openFile(log);
    const view = await ViewPage.open(editor);
    await editor.focusText(log);
    await editor.runCommand('Underplate: Show Lines Around a Place');
    await editor.answer(`:${onsetLine}`);
    await page.locator('.tab.active', { hasText: `around line ${onsetLine}` }).waitFor();
    await page.keyboard.press('ArrowDown');
    await view.caption(`line ${onsetLine + 1}`).waitFor();
  });

  it('starts a new log whose header has no problem', async () => {
    const { editor, page } = await openDesk([]);
    await editor.runCommand('Underplate: New Log');
    await editor.visibleLine('%ECSV 1.0').waitFor();
    await editor.goToLine(14);
    const problems = await editor.openProblems();
    await page.waitForTimeout(1500); // longer than the pause before a header is judged
    assert.equal(await problems.filter({ hasText: 'underplate' }).count(), 0);
  });
});
