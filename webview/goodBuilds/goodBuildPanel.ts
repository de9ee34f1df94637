// Against good builds: which cells lie outside their band in which layers, farthest first, and how far. Hidden until good
// builds have been chosen.
import { fixed } from '../../src/core/display/numberFormat.ts';
import { microstrain } from '../../src/core/display/units.ts';
import type { OutsideBand } from '../../src/messages/goodBuilds.ts';
import type { App } from '../app.ts';
import { button } from '../controls.ts';
import { element, panel } from '../element.ts';

/** More than a person reads through; the rest is counted. */
const mostShown = 60;

export class GoodBuildPanel {
  readonly root: HTMLElement;
  readonly #app: App;
  readonly #heading: HTMLElement;
  readonly #said = element('p', { class: 'tally', role: 'status' });
  readonly #list = element('ol', { class: 'outside-list' });
  readonly #cautions = element('ul', { class: 'band-cautions' });
  #shown: unknown;

  constructor(app: App) {
    this.#app = app;
    const { section, heading, bar } = panel('good-builds', 'Against good builds');
    this.root = section;
    this.#heading = heading;
    bar.append(
      button('Other builds…', 'Choose which good builds to compare with', () =>
        app.host.tell({ type: 'chooseGoodBuilds' }),
      ),
      button('Remove', 'Take the comparison with good builds away', () => app.host.tell({ type: 'dropGoodBuilds' })),
    );
    section.append(this.#said, this.#list, this.#cautions);
    app.onLog(() => this.#draw());
  }

  #draw(): void {
    const { goodBuilds } = this.#app;
    this.root.hidden = !goodBuilds;
    if (!goodBuilds || goodBuilds === this.#shown) return;
    this.#shown = goodBuilds;
    const { names, outside, comparedValues, outsideValues, coverage, beyondLayers, cautions } = goodBuilds;
    this.#heading.textContent = `Against ${names.length} good builds`;
    this.#heading.title = names.join('\n');
    const share = fixed((100 * outsideValues) / comparedValues, 1);
    const chance = fixed((1 - coverage) * 100, 0);
    this.#said.textContent =
      `${share} % of ${comparedValues} layer values lie outside the band; ${chance} % would by chance.` +
      (beyondLayers > 0 ? ` ${beyondLayers} layers reach beyond the good builds and were not compared.` : '') +
      (outside.length > 0 ? ' Cells outside have two corners on the map.' : '') +
      (outside.length === 0 ? ' No cell lies outside for three layers or more.' : '');
    const more = outside.length - mostShown;
    this.#list.hidden = outside.length === 0;
    this.#list.replaceChildren(
      ...outside.slice(0, mostShown).map((run) => this.#item(run)),
      ...(more > 0 ? [element('li', { class: 'rest' }, [`and ${more} less far outside`])] : []),
    );
    this.#cautions.replaceChildren(...cautions.map((caution) => element('li', {}, [caution])));
  }

  #item(run: OutsideBand): HTMLElement {
    const { fromLayer, toLayer, worstLayer, value, centre, halfWidth, howFar } = run;
    const layers = fromLayer === toLayer ? `layer ${fromLayer}` : `layers ${fromLayer} to ${toLayer}`;
    const made = element('button', { class: 'outside', type: 'button' }, [
      element('b', {}, [run.series]),
      element('span', { class: 'how-far' }, [`${fixed(howFar, 1)} half-widths`]),
      element('span', { class: 'where' }, [`${layers}, farthest at ${worstLayer}`]),
      element('span', { class: 'numbers' }, [
        `${fixed(value, 1)}, good builds ${fixed(centre, 1)} ± ${fixed(halfWidth, 1)} ${microstrain.unitLabel}`,
      ]),
    ]);
    made.addEventListener('click', () => this.#app.showOutside(run));
    return element('li', {}, [made]);
  }
}
