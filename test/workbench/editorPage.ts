// The editor's own parts as a test speaks of them: open a file, run a command, read Problems, find the cursor's line.
import type { Frame, Locator, Page } from 'playwright-core';

export class EditorPage {
  readonly page: Page;

  constructor(page: Page) {
    this.page = page;
  }

  /** Opens a file of the folder from the explorer, to stay (no preview). Quick Open would need a native search tool. */
  async openFile(name: string): Promise<void> {
    await this.explorerItem(name).dblclick();
    await this.page.locator('.tab.active', { hasText: name }).waitFor();
  }

  explorerItem(name: string): Locator {
    return this.page.locator('.explorer-folders-view .monaco-list-row', {
      has: this.page.getByText(name, { exact: true }),
    });
  }

  /**
   * The palette lists what it knew when it was opened, and closes when something else takes the keyboard; so it is opened
   * again until it knows the command.
   */
  async runCommand(title: string): Promise<void> {
    const entry = this.page.locator('.quick-input-list .monaco-list-row', { hasText: title }).first();
    for (let attempt = 0; attempt < 8; attempt++) {
      if ((await this.#fillQuickInput('F1', `>${title}`)) && (await appears(entry, 4000))) {
        await this.page.keyboard.press('Enter');
        return;
      }
      await this.page.keyboard.press('Escape');
    }
    throw new Error(`the palette does not list '${title}'`);
  }

  /** Chooses one of the fixes offered at the cursor. */
  async chooseFix(title: string): Promise<void> {
    const entry = this.page.getByRole('option', { name: title });
    for (let attempt = 0; attempt < 8; attempt++) {
      await this.page.keyboard.press('Control+.');
      if (await appears(entry, 4000)) {
        await this.page.keyboard.press('Enter');
        return;
      }
      await this.page.keyboard.press('Escape');
    }
    throw new Error(`no fix '${title}' is offered here`);
  }

  async reloadWindow(): Promise<void> {
    const loaded = this.page.waitForEvent('load');
    await this.runCommand('Developer: Reload Window');
    await loaded;
    await this.page.locator('.monaco-workbench').waitFor({ timeout: 60_000 });
  }

  /** Types into the small input at the top (Go to Line, our own questions) and confirms. */
  async answer(text: string): Promise<void> {
    await this.#quickInput().fill(text);
    await this.page.keyboard.press('Enter');
  }

  /** Takes the name and folder that a question where to save offers. */
  async saveAsOffered(): Promise<void> {
    await this.#quickInput().waitFor();
    await this.page
      .locator('.quick-input-widget')
      .getByRole('button', { name: /^(OK|Save)$/ })
      .click();
  }

  async goToLine(line: number, column = 1): Promise<void> {
    const there = this.#lineInStatus(line);
    for (let attempt = 0; attempt < 8; attempt++) {
      if (await this.#fillQuickInput('Control+G', `:${line}:${column}`)) {
        await this.page.keyboard.press('Enter');
        if (await appears(there, 3000)) return;
      }
      await this.page.keyboard.press('Escape');
    }
    await this.cursorLine(line);
  }

  /** Waits until the status bar says that the cursor stands on `line`. */
  async cursorLine(line: number): Promise<void> {
    await this.#lineInStatus(line).waitFor();
  }

  /** Waits until the cursor stands at most `rows` from `line`; answers where. */
  async cursorNear(line: number, rows: number): Promise<{ line: number; column: number }> {
    const lines = Array.from({ length: 2 * rows + 1 }, (_, index) => line - rows + index);
    await this.statusItem(new RegExp(`Ln (${lines.join('|')}),`)).waitFor();
    return this.cursorPosition();
  }

  /** Puts the keyboard into the text of an open file. */
  async focusText(name: string): Promise<void> {
    await this.page.locator('.tab', { hasText: name }).first().click();
    await this.page.locator('.monaco-editor.focused').waitFor();
  }

  async cursorPosition(): Promise<{ line: number; column: number }> {
    const text = await this.page.locator('.statusbar-item', { hasText: /Ln \d+, Col \d+/ }).innerText();
    const found = /Ln (\d+), Col (\d+)/.exec(text);
    return { line: Number(found?.[1]), column: Number(found?.[2]) };
  }

  async openProblems(): Promise<Locator> {
    const panel = this.page.locator('.markers-panel');
    if (!(await panel.isVisible())) await this.runCommand('Problems: Focus on Problems View');
    await panel.waitFor();
    return panel.locator('.monaco-list-row');
  }

  /** One of the icons at the upper right of the text in front. */
  titleAction(title: string): Locator {
    return this.page.locator('.editor-group-container.active .editor-actions').getByRole('button', { name: title });
  }

  statusItem(text: string | RegExp): Locator {
    return this.page.locator('.statusbar-item', { hasText: text });
  }

  /** One of what is offered at the top, several of which may be ticked. */
  choice(text: string): Locator {
    return this.page.locator('.quick-input-list .monaco-list-row', { has: this.page.getByText(text, { exact: true }) });
  }

  notification(text: string | RegExp): Locator {
    return this.page.locator('.notification-toast', { hasText: text });
  }

  /** The text line with this number as it stands rendered in the active editor. */
  visibleLine(text: string): Locator {
    return this.page.locator('.view-line', { hasText: text });
  }

  /** The page of our view: the innermost frame that holds our root element. */
  async viewFrame(timeoutMs = 60_000, pauseMs = 100): Promise<Frame> {
    const end = Date.now() + timeoutMs;
    while (Date.now() < end) {
      for (const frame of this.page.frames()) {
        if (!frame.url().includes('fake.html')) continue;
        const ours = await frame
          .locator('[data-underplate]')
          .count()
          .catch(() => 0);
        if (ours > 0) return frame;
      }
      await this.page.waitForTimeout(pauseMs);
    }
    throw new Error(
      `the view did not appear within ${timeoutMs} ms; frames: ${this.page
        .frames()
        .map((f) => f.url())
        .join(' ')}`,
    );
  }

  /** Answers false where the input did not open, or closed again: the editor was busy elsewhere. */
  async #fillQuickInput(key: string, text: string): Promise<boolean> {
    await this.page.keyboard.press(key);
    if (!(await appears(this.#quickInput(), 2000))) return false;
    return this.#quickInput()
      .fill(text, { timeout: 2000 })
      .then(
        () => true,
        () => false,
      );
  }

  #lineInStatus(line: number): Locator {
    return this.statusItem(new RegExp(`Ln ${line},`));
  }

  #quickInput(): Locator {
    return this.page.locator('.quick-input-widget input.input').first();
  }
}

function appears(what: Locator, withinMs: number): Promise<boolean> {
  return what.waitFor({ timeout: withinMs }).then(
    () => true,
    () => false,
  );
}
