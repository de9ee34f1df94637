// Mocha's frame for the tests in a real editor: one office for the whole run, its desks cleared after each test, a picture
// of every page where a test failed.
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { Office, root } from './desk.ts';
import type { Desk, DeskOptions } from './desk.ts';

let office: Office | undefined;

export function openDesk(files: readonly string[], options: DeskOptions = {}): Promise<Desk> {
  return running().desk(files, options);
}

export function openDeskIn(folder: string, options: DeskOptions = {}): Promise<Desk> {
  return running().deskIn(folder, options);
}

/** Closes every window, as if the user went home; files stay. */
export function clearDesks(): Promise<void> {
  return running().clearDesks();
}

function running(): Office {
  if (!office) throw new Error('the editor is not running');
  return office;
}

export const mochaHooks = {
  async beforeAll(this: Mocha.Context): Promise<void> {
    this.timeout(600_000); // the first run installs the editor
    office = await Office.open();
  },

  async afterEach(this: Mocha.Context): Promise<void> {
    if (this.currentTest?.state === 'failed') await pictures(this.currentTest.fullTitle());
    await running().clearDesks();
  },

  async afterAll(): Promise<void> {
    await office?.close();
  },
};

async function pictures(title: string): Promise<void> {
  const folder = join(root, '.demo/failures');
  mkdirSync(folder, { recursive: true });
  for (const [index, page] of running().pages.entries()) {
    const path = join(folder, `${title.replace(/\W+/g, '-').slice(0, 100)}-${index + 1}.png`);
    await page.screenshot({ path }).catch(() => undefined); // a page that has crashed gives none
    console.log(`      picture: ${path}`);
  }
}
