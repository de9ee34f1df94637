// Pages that are opened and driven as a user does, each fault in their consoles held against the test.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import type { FromView } from '../../../src/messages/view.ts';
import { startHarness, type OpenOptions, type ViewHarness } from './viewHarness.ts';

export const releaseLog = 'release.strain.csv';

/** Time of every row by its line (from 1), read apart from any code of ours. */
export function timesByLine(name: string): Map<number, number> {
  const times = new Map<number, number>();
  readFileSync(`sample-logs/${name}`, 'utf8')
    .split('\n')
    .forEach((line, index) => {
      if (/^[\d.]+,/.test(line)) times.set(index + 1, Number(line.split(',')[0]));
    });
  return times;
}

export async function told<T extends FromView['type']>(page: Page, type: T): Promise<Extract<FromView, { type: T }>[]> {
  const all = await page.evaluate(() => window.harness.told);
  return all.filter((notice): notice is Extract<FromView, { type: T }> => notice.type === type);
}

/** The last notice of a type, once there is one more than `before`. */
export async function nextTold<T extends FromView['type']>(page: Page, type: T, before: number) {
  await page.waitForFunction(
    ([wanted, count]) => window.harness.told.filter((notice) => notice.type === wanted).length > count,
    [type, before] as const,
  );
  return (await told(page, type)).at(-1)!;
}

export async function choose(page: Page, label: string, option: string): Promise<void> {
  await page.locator(`vscode-dropdown[aria-label="${label}"]:visible`).first().click();
  await page.getByRole('option', { name: option, exact: true }).locator('visible=true').first().click();
}

/** A browser for the tests of the `describe` that it is made in; they fail together where a page complained. */
export class Pages {
  readonly #failures: string[] = [];
  #harness: ViewHarness | undefined;

  constructor() {
    before(async () => {
      this.#harness = await startHarness();
    });
    after(async () => {
      await this.#harness?.close();
      assert.deepEqual(this.#failures, []);
    });
  }

  addLog(name: string, text: string): void {
    this.#harness!.addLog(name, text);
  }

  async open(options: OpenOptions): Promise<Page> {
    const page = await this.#harness!.open(options);
    page.on('pageerror', (error) => this.#failures.push(String(error)));
    page.on('console', (message) => {
      if (message.type() === 'error') this.#failures.push(message.text());
    });
    return page;
  }

  /** With map and plots drawn. */
  async openRelease(options: OpenOptions = {}): Promise<Page> {
    const page = await this.open({ log: releaseLog, ...options });
    await page.locator('.plot-box canvas').first().waitFor();
    await page.locator('.plate-map .cell').first().waitFor();
    return page;
  }
}
