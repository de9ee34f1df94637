import assert from 'node:assert/strict';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { truthOf } from './sample.ts';
import { openDesk } from './setup.ts';
import { ViewPage } from './viewPage.ts';

const log = 'release.strain.csv';
const good = ['good-build.strain.csv', 'good-build-2.strain.csv', 'good-build-3.strain.csv'];

describe('a comparison with good builds, in the editor', () => {
  it('is asked for in the view, shows where the build lies outside, leads to the line, and goes again', async () => {
    const { editor, page, folder } = await openDesk([log, ...good].map((name) => `sample-logs/${name}`));
    await editor.openFile(log);
    const view = await ViewPage.open(editor);
    await view.button(/^Good builds…/).click();
    for (const name of good)
      await editor.choice(name).locator('.monaco-checkbox, [role=checkbox], input').first().click();
    // Not by the enter key: it may reach the list, where it takes the last tick away again.
    await page.locator('.quick-input-widget').getByRole('button', { name: 'OK' }).click();
    const heading = view.frame.getByRole('heading', { name: 'Against 3 good builds' });
    await heading.waitFor();

    // What comes loose in this build alone is what lies outside: cells that the simulator changed, from the release on.
    const release = truthOf(log).find(({ kind }) => kind === 'release');
    assert.ok(release);
    const worst = view.frame.locator('.outside').first();
    const said = await worst.innerText();
    const cell = /^(\w+?)_/.exec(said)?.[1];
    assert.ok(
      release.cells.some((one) => one.cell === cell),
      `${cell} is among the cells that the release changed`,
    );
    assert.ok(Number(/farthest at (\d+)/.exec(said)?.[1]) >= release.layer);
    await worst.click();
    await view.frame.getByRole('heading', { name: new RegExp(`^Cell ${cell}`) }).waitFor();
    await view.frame.locator('[data-group=components] .band-key', { hasText: 'band of 3 good builds' }).waitFor();
    await view.caption(new RegExp(`layer ${/farthest at (\d+)/.exec(said)?.[1]}`)).waitFor();

    // The saved picture shows the same band, and says so.
    await view.frame.locator('.panel.plots').getByRole('button', { name: 'SVG' }).click();
    await editor.saveAsOffered();
    const saved = await textOf(join(folder, 'release.plots.svg'));
    assert.match(saved, />band of 3 good builds \(\d+ %\)</);
    assert.match(saved, /class="step-band"><path d="M\d/);

    await view.button(/^Remove/).click();
    await heading.waitFor({ state: 'hidden' });
  });
});

/** A file's text, once it is there and whole. */
async function textOf(path: string): Promise<string> {
  for (let attempt = 0; attempt < 100; attempt++) {
    if (existsSync(path) && readFileSync(path, 'utf8').endsWith('</svg>')) return readFileSync(path, 'utf8');
    await wait(100);
  }
  throw new Error(`'${path}' was not written`);
}
