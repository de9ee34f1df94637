// The map as a table: the same numbers for those who read rather than look. One row per cell and plane.
import { axisText, undefinedText } from '../../src/core/display/numberFormat.ts';
import { sickText } from '../../src/core/display/sickText.ts';
import { kelvin, measureIn, megapascal, microstrain } from '../../src/core/display/units.ts';
import type { PlateState } from '../../src/messages/analysis.ts';
import type { App } from '../app.ts';
import { element } from '../element.ts';

const heads = ['Cell', 'Plane', 'e1', 'e2', 'Direction', 'Von Mises', 'ΔT'];

export function plateTable(app: App, state: PlateState | undefined): HTMLElement {
  const rows = (state?.rosettes ?? []).flatMap((one) => {
    const temperature = state!.cells.find(({ cell }) => cell === one.cell)?.temperatureChange ?? NaN;
    const chooser = element('button', { type: 'button', class: 'link' }, [app.cellName(one.cell)]);
    chooser.addEventListener('click', () => app.choices.set({ cell: one.cell, plane: one.plane }));
    const numbers = [
      measureIn(microstrain, one.e1),
      measureIn(microstrain, one.e2),
      axisText(one.dirDeg, one.dirErrorDeg),
      measureIn(megapascal, one.vonMises),
      measureIn(kelvin, temperature),
    ];
    const chosen = one.cell === app.choices.now.cell && one.plane === app.choices.now.plane;
    const row = element('tr', { 'aria-current': chosen ? 'true' : undefined }, [
      element('th', { scope: 'row' }, [chooser]),
      element('td', {}, [app.planeName(one.plane) || undefinedText]),
      ...numbers.map((text) => element('td', { class: 'number' }, [text])),
    ]);
    return one.sick.length === 0 ? [row] : [row, sickRow(`${app.cellName(one.cell)} ${sickText(one.sick)}`)];
  });
  return element('table', { class: 'plate-table' }, [
    element('caption', {}, [
      `Principal strains of every cell, direction of e1 (${undefinedText} where too small against the noise), temperature change since the datum`,
    ]),
    element('thead', {}, [
      element(
        'tr',
        {},
        heads.map((text) => element('th', { scope: 'col' }, [text])),
      ),
    ]),
    element('tbody', {}, rows),
  ]);
}

/** Below the row it is about. */
function sickRow(text: string): HTMLElement {
  return element('tr', { class: 'sick' }, [element('td', { colspan: heads.length }, [text])]);
}
