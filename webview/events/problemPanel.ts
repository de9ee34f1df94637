// What is wrong with the log itself: rows and header. Each entry leads to its line; the rest is fetched on demand.
import { countOf } from '../../src/core/display/numberFormat.ts';
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
  #of = '';

  constructor(app: App) {
    this.#app = app;
    this.#more = button('More', 'Show more problems', () => void this.#fetch());
    this.root.append(this.#title, this.#list, this.#more);
    app.onLog(() => {
      const { name = '', problemCount = 0 } = app.summary ?? {};
      const of = `${name} ${problemCount}`;
      if (of === this.#of) return; // A growing log must not take away what was fetched and is being read.
      this.#of = of;
      this.#fetched = [];
      this.#draw();
    });
  }

  #draw(): void {
    const { summary } = this.#app;
    const count = summary?.problemCount ?? 0;
    this.root.hidden = count === 0;
    if (!summary || count === 0) return;
    const shown = this.#fetched.length > 0 ? this.#fetched : summary.problems;
    this.#title.textContent = countOf(count, 'problem in the log itself', 'problems in the log itself');
    this.#list.replaceChildren(...shown.map((problem) => this.#entry(problem)));
    this.#more.hidden = shown.length >= count;
    if (!summary.header) this.root.open = true;
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

  async #fetch(): Promise<void> {
    const known = this.#fetched.length > 0 ? this.#fetched : (this.#app.summary?.problems ?? []);
    const next = await this.#app.host.calls.problems({ first: known.length, count: page });
    this.#fetched = [...known, ...next];
    this.#draw();
  }
}
