// What is wrong with the log itself: rows and header. Each entry leads to its line; the rest is fetched on demand.
import { countOf } from '../../src/core/display/numberFormat.ts';
import { problemsFound } from '../../src/messages/analysis.ts';
import type { App } from '../app.ts';
import { button } from '../controls.ts';
import { element } from '../element.ts';
import type { DataProblem } from '../logTypes.ts';

const page = 100;

export class ProblemPanel {
  readonly root = element('details', { class: 'panel problems' });
  readonly #app: App;
  readonly #title = element('summary', {});
  readonly #list = element('ol', { class: 'problem-list' });
  readonly #more: HTMLElement;
  #fetched: readonly DataProblem[] = [];
  #told: readonly DataProblem[] = [];
  #log = '';

  constructor(app: App) {
    this.#app = app;
    this.#more = button('More', 'Show more problems', () => void this.#fetch(this.#shown.length, page));
    this.root.append(this.#title, this.#list, this.#more);
    app.onLog(() => {
      const { name = '', problems = [] } = app.summary ?? {};
      if (name === this.#log && problems === this.#told) return; // Another list comes only where an entry differs.
      if (name !== this.#log) this.#fetched = [];
      this.#log = name;
      this.#told = problems;
      this.#draw();
      // A growing log must not take away what was fetched and is being read, nor leave it as it was.
      if (this.#fetched.length > 0) void this.#fetch(0, this.#fetched.length);
    });
  }

  get #shown(): readonly DataProblem[] {
    return this.#fetched.length > 0 ? this.#fetched : this.#told;
  }

  #draw(): void {
    const { summary } = this.#app;
    const count = summary?.problemCount ?? 0;
    this.root.hidden = count === 0;
    if (!summary || count === 0) return;
    const found = problemsFound(summary);
    this.#title.textContent = countOf(found, 'problem in the log itself', 'problems in the log itself');
    this.#showEntries(this.#shown.map((problem) => this.#entry(problem)));
    this.#more.hidden = this.#shown.length >= count;
    if (!summary.header) this.root.open = true;
  }

  /** Who stands on an entry goes on standing on the one in its place. */
  #showEntries(entries: readonly HTMLElement[]): void {
    const old = [...this.#list.children];
    const at = old.findIndex((entry) => entry.contains(document.activeElement));
    entries.forEach((entry, i) => {
      if (!old[i]) this.#list.append(entry);
      else if (!old[i].isEqualNode(entry)) old[i].replaceWith(entry);
    });
    old.slice(entries.length).forEach((entry) => entry.remove());
    if (at >= 0) this.#list.children[at]?.querySelector('button')?.focus({ preventScroll: true });
  }

  #entry({ range, file, severity, message, folded }: DataProblem): HTMLElement {
    const where = file === undefined ? `line ${range.line}` : `${file}, line ${range.line}`;
    const link = element('button', { type: 'button', class: 'link' }, [where]);
    link.addEventListener('click', () =>
      this.#app.host.tell({ type: 'reveal', file, line: range.line, preserveFocus: false }),
    );
    const others = folded ? ` (and ${folded} more like it)` : '';
    return element('li', { class: severity }, [link, ' ', element('b', {}, [severity]), ` ${message}${others}`]);
  }

  /** The list from `first` on, `count` entries of it at most; what comes before stays. */
  async #fetch(first: number, count: number): Promise<void> {
    const known = this.#shown.slice(0, first);
    const log = this.#log;
    const next = await this.#app.host.calls.problems({ first, count });
    if (log !== this.#log) return;
    this.#fetched = [...known, ...next];
    this.#draw();
  }
}
