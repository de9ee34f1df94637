import assert from 'node:assert/strict';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'yaml';
import { lineWhere, sampleText, truthOf } from './sample.ts';
import { clearDesks, openDesk, openDeskIn } from './setup.ts';
import { ViewPage } from './viewPage.ts';

const log = 'release.strain.csv';
const text = sampleText(log);
const line = lineWhere(text, (fields) => fields[1] === '30');
const timeS = Number(text.split('\n')[line - 1]?.split(',')[0]);

interface Written {
  readonly threads: readonly {
    readonly time: number;
    readonly verdict?: string;
    readonly event?: string;
    readonly remarks?: readonly { readonly text: string; readonly by?: string }[];
  }[];
}

describe('notes in the editor', () => {
  it('are written at the cursor, kept beside the log, and there again the next day', async () => {
    const { editor, folder } = await openDesk([`sample-logs/${log}`], {
      settings: { 'underplate.notes.author': 'R. Example' },
    });
    await editor.openFile(log);
    await editor.statusItem(/\d+ mechanical/).waitFor();
    await editor.goToLine(line);
    await editor.runCommand('Underplate: Add Note at Cursor');
    await editor.answer('A knock was heard.');
    const file = join(folder, `${log}.notes.yaml`);
    const [thread] = (await written(file)).threads;
    assert.equal(thread?.time, timeS);
    assert.deepEqual(
      thread?.remarks?.map(({ text: words, by }) => ({ words, by })),
      [{ words: 'A knock was heard.', by: 'R. Example' }],
    );
    await clearDesks();

    const later = await openDeskIn(folder);
    await later.editor.openFile(log);
    await later.editor.runCommand('Comments: Focus on Comments View');
    await later.page.locator('.comments-panel', { hasText: 'A knock was heard.' }).waitFor();
  });

  it('go with a log that is renamed', async () => {
    const { editor, folder, page } = await openDesk([`sample-logs/${log}`]);
    const notes = `notes: 1\nthreads:\n  - time: ${timeS}\n    id: early\n    remarks:\n      - date: 2026-03-02T20:11:04Z\n        text: A knock was heard.\n`;
    writeFileSync(join(folder, `${log}.notes.yaml`), notes);
    await editor.openFile(log);
    await editor.statusItem(/\d+ mechanical/).waitFor();
    await editor.explorerItem(log).click();
    await page.keyboard.press('F2');
    const renamed = 'monday.strain.csv';
    await page.locator('.explorer-folders-view input').fill(renamed);
    await page.keyboard.press('Enter');
    // The editor asks before it lets an extension rename further files.
    await page.locator('.monaco-dialog-box').getByRole('button', { name: 'OK' }).click();
    await editor.explorerItem(`${renamed}.notes.yaml`).waitFor();
    assert.ok(!existsSync(join(folder, `${log}.notes.yaml`)));
    assert.equal(readFileSync(join(folder, `${renamed}.notes.yaml`), 'utf8'), notes);
    await editor.runCommand('Comments: Focus on Comments View');
    await page.locator('.comments-panel', { hasText: 'A knock was heard.' }).waitFor();
    await page.locator('.comments-panel', { hasText: renamed }).waitFor();
  });

  it('are edited where they stand', async () => {
    const { editor, folder, page } = await openDesk([`sample-logs/${log}`]);
    const file = join(folder, `${log}.notes.yaml`);
    const notes = `notes: 1\nthreads:\n  - time: ${timeS}\n    id: early\n    remarks:\n      - date: 2026-03-02T20:11:04Z\n        text: A knock was heard.\n`;
    writeFileSync(file, notes);
    await editor.openFile(log);
    await editor.statusItem(/\d+ mechanical/).waitFor();
    await editor.runCommand('Comments: Focus on Comments View');
    await page.locator('.comments-panel .monaco-list-row', { hasText: 'A knock was heard.' }).click();
    const remark = page.locator('.review-widget .review-comment', { hasText: 'A knock was heard.' });
    await remark.hover();
    await remark.getByRole('button', { name: 'Edit Remark' }).click();
    await remark.locator('.edit-textarea .monaco-editor').click();
    await page.keyboard.press('Control+A');
    await page.keyboard.type('Two knocks were heard.');
    await remark.getByRole('button', { name: 'Save' }).click();
    await page.locator('.review-widget .review-comment', { hasText: 'Two knocks were heard.' }).waitFor();
    await until(() => readFileSync(file, 'utf8').includes('Two knocks were heard.'));
    const [thread, ...others] = (await written(file)).threads;
    assert.deepEqual([thread?.time, others], [timeS, []]);
    assert.deepEqual(
      thread?.remarks?.map((one) => one.text),
      ['Two knocks were heard.'],
    );
  });

  it('take a verdict from the view', async () => {
    const { editor, folder } = await openDesk([`sample-logs/${log}`]);
    await editor.openFile(log);
    const view = await ViewPage.open(editor);
    const release = truthOf(log)[0];
    await view
      .events(new RegExp(`${release?.part}.*layer ${release?.layer}`))
      .first()
      .click();
    await view.button('Confirmed').click();
    const [thread] = (await written(join(folder, `${log}.notes.yaml`))).threads;
    assert.equal(thread?.verdict, 'confirmed');
    assert.ok(thread?.event);
    await view.frame.locator('[role=option][aria-selected=true] .verdict').waitFor();
  });

  it('leave a broken file as it is, and say where it is broken', async () => {
    const broken = '<<<<<<< ours\nnotes: 1\n=======\nnotes: 1\n>>>>>>> theirs\n';
    const { editor, folder } = await openDesk([`sample-logs/${log}`]);
    const file = join(folder, `${log}.notes.yaml`);
    writeFileSync(file, broken);
    await editor.openFile(log);
    const problems = await editor.openProblems();
    await problems
      .filter({ hasText: /conflict/i })
      .first()
      .waitFor();
    await editor.focusText(log);
    await editor.goToLine(line);
    await editor.runCommand('Underplate: Add Note at Cursor');
    await editor.notification('has an error').waitFor();
    assert.equal(readFileSync(file, 'utf8'), broken);
  });

  it('take in what somebody else writes into the file', async () => {
    const { editor, folder } = await openDesk([`sample-logs/${log}`]);
    await editor.openFile(log);
    await editor.statusItem(/\d+ mechanical/).waitFor();
    writeFileSync(
      join(folder, `${log}.notes.yaml`),
      `notes: 1\nthreads:\n  - time: ${timeS}\n    id: from-afar\n    remarks:\n      - date: 2026-03-02T20:11:04Z\n        text: Seen by the night shift.\n`,
    );
    await editor.runCommand('Comments: Focus on Comments View');
    await editor.page.locator('.comments-panel', { hasText: 'Seen by the night shift.' }).waitFor();
  });
});

async function until(done: () => boolean): Promise<void> {
  for (let attempt = 0; attempt < 150 && !done(); attempt++) await new Promise((next) => setTimeout(next, 100));
}

/** The notes file, once it is there with a thread in it. */
async function written(file: string): Promise<Written> {
  for (let attempt = 0; attempt < 150; attempt++) {
    const notes = existsSync(file) ? (parse(readFileSync(file, 'utf8')) as Written | null) : null;
    if (notes?.threads[0]) return notes;
    await new Promise((done) => setTimeout(done, 100));
  }
  throw new Error(`${file} was not written`);
}
