// What is plotted: the controls for the cell, its plane, another cell beside it, another log behind it, and the quantities.
import type { App } from '../app.ts';
import { button, checkbox, dropdown, type Checkbox } from '../controls.ts';
import { element } from '../element.ts';
import type { QuantityGroup } from './quantityGroups.ts';

export class PlotChoice {
  /** The checkboxes, folded away. */
  readonly quantities: HTMLElement;
  readonly #app: App;
  readonly #heading: HTMLElement;
  readonly #boxes = element('div', { class: 'quantities' });
  readonly #cell = dropdown('Cell', (value) => this.#app.choices.set({ cell: Number(value) }));
  readonly #plane = dropdown('Plane', (value) => this.#app.choices.set({ plane: Number(value) }));
  readonly #compare = dropdown('Compare with', (value) => this.#app.choices.set({ comparedCell: Number(value) }));
  readonly #align = dropdown('Align by', (value) =>
    this.#app.choices.set({ alignReferenceBy: value === 'layer' ? 'layer' : 'time' }),
  );
  #offered = '';
  #ticks: readonly { readonly name: string; readonly box: Checkbox }[] = [];

  /** Fills `bar`; `heading` will name the cell. */
  constructor(app: App, heading: HTMLElement, bar: HTMLElement) {
    this.#app = app;
    this.#heading = heading;
    this.quantities = element('details', { class: 'choose' }, [element('summary', {}, ['Quantities']), this.#boxes]);
    bar.append(
      this.#cell.root,
      this.#plane.root,
      this.#compare.root,
      this.#align.root,
      button('Second log…', 'Choose a log to be drawn behind this one', () =>
        this.#app.host.tell({ type: 'chooseReference' }),
      ),
      button('Good builds…', 'Choose good builds and see where this one lies outside their band', () =>
        this.#app.host.tell({ type: 'chooseGoodBuilds' }),
      ),
    );
  }

  /** `groups`: what the chosen cell offers. */
  show(groups: readonly QuantityGroup[]): void {
    const { summary, reference, choices } = this.#app;
    const { cell, plane, comparedCell, alignReferenceBy } = choices.now;
    const cells = summary!.header!.cells.map(({ name }, index) => ({ value: String(index), text: name }));
    const planes = this.#app.planesOf(cell);
    this.#heading.textContent = `Cell ${this.#app.cellName(cell)}${planes.length > 1 ? `, plane ${this.#app.planeName(plane)}` : ''}`;
    this.#cell.show(cells, String(cell));
    this.#plane.show(
      planes.map((one) => ({ value: String(one), text: this.#app.planeName(one) || 'only one' })),
      String(plane),
    );
    this.#plane.root.hidden = planes.length < 2;
    const others = cells.filter(({ value }) => value !== String(cell));
    this.#compare.show([{ value: '-1', text: 'no other cell' }, ...others], String(comparedCell));
    this.#align.root.hidden = !reference;
    this.#align.show(
      [
        { value: 'time', text: 'time since start' },
        { value: 'layer', text: 'layer' },
      ],
      alignReferenceBy,
    );
    this.#offerGroups(groups);
  }

  /** Boxes stay as long as what is offered does: whoever ticks them by keyboard is not to lose their place. */
  #offerGroups(groups: readonly QuantityGroup[]): void {
    const chosen = this.#app.choices.now.groups;
    const offer = JSON.stringify(groups.map(({ name, title }) => [name, title]));
    if (offer !== this.#offered) {
      this.#offered = offer;
      this.#ticks = groups.map(({ name, title }) => {
        const box = checkbox(title, (checked) => this.#tick(name, checked));
        return { name, box };
      });
      this.#boxes.replaceChildren(...this.#ticks.map(({ box }) => box.root));
    }
    for (const { name, box } of this.#ticks) box.show(chosen.includes(name));
  }

  #tick(name: string, checked: boolean): void {
    const others = this.#app.choices.now.groups.filter((one) => one !== name);
    this.#app.choices.set({ groups: checked ? [...others, name] : others });
  }
}
