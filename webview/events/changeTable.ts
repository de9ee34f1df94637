// What an event changed at each cell and plane, as a table. It may have dozens of rows: the Tab key stops at it once, and
// arrow keys go from row to row.
import { change, measure, measureWithError } from '../../src/core/display/numberFormat.ts';
import { microstrain } from '../../src/core/display/units.ts';
import type { App } from '../app.ts';
import { element } from '../element.ts';
import { oneStop } from '../keptFocus.ts';
import type { StrainEvent } from '../logTypes.ts';

type CellChange = StrainEvent['cells'][number];

export function changeTable(app: App, event: StrainEvent): HTMLElement {
  const choosers = event.cells.map((one) => chooserOf(app, one));
  const heads = ['Cell', 'ex', 'ey', 'gxy', 'Turn', 'Over noise'];
  const body = element(
    'tbody',
    {},
    event.cells.map((one, i) => rowOf(one, choosers[i]!)),
  );
  oneStop(body, choosers);
  return element('div', { class: 'table-scroll', role: 'region', 'aria-label': 'Change at each cell' }, [
    element('table', { class: 'change-table' }, [
      element('caption', {}, [`Change in ${microstrain.unitLabel}, strongest first`]),
      element('thead', {}, [
        element(
          'tr',
          {},
          heads.map((text) => element('th', { scope: 'col' }, [text])),
        ),
      ]),
      body,
    ]),
  ]);
}

function rowOf(one: CellChange, chooser: HTMLElement): HTMLElement {
  return element('tr', {}, [
    element('th', { scope: 'row' }, [chooser]),
    ...one.change.map((value) => element('td', { class: 'number' }, [change(value * microstrain.scale, '')])),
    element('td', { class: 'number turn' }, [turnText(one)]),
    element('td', { class: 'number' }, [measure(one.sigmas, '')]),
  ]);
}

/** A cell with several planes may stand in several rows: its name alone would not tell them apart. */
function chooserOf(app: App, { cell, plane }: CellChange): HTMLButtonElement {
  const several = app.planesOf(cell).length > 1;
  const name = several ? `${app.cellName(cell)} ${app.planeName(plane)}`.trim() : app.cellName(cell);
  const chooser = element('button', { type: 'button', class: 'link' }, [name]);
  chooser.addEventListener('click', () => app.choices.set({ cell, plane: app.planeOf(cell, plane) }));
  return chooser;
}

/** Broken only between the angle and its error. */
function turnText({ turnDeg, turnErrorDeg }: CellChange): string {
  return measureWithError(turnDeg, turnErrorDeg, '°').replace('± ', '±\u00a0');
}
