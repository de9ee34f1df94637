// The map as a table: the same numbers for those who read rather than look. One row per cell and plane;
// the Tab key stops at it once.
import { axisText, measure, undefinedText } from '../../src/core/display/numberFormat.ts';
import { sickText } from '../../src/core/display/text/sickText.ts';
import { kelvin, megapascal, microstrain } from '../../src/core/display/units.ts';
import type { PlateState } from '../../src/messages/analysis.ts';
import type { App } from '../app.ts';
import { element } from '../element.ts';
import { oneStop } from '../keptFocus.ts';

const heads = [
  'Cell',
  'Plane',
  `e1, ${microstrain.unitLabel}`,
  `e2, ${microstrain.unitLabel}`,
  'Direction',
  `Von Mises, ${megapascal.unitLabel}`,
  `ΔT, ${kelvin.unitLabel}`,
];

export function plateTable(app: App, state: PlateState | undefined): HTMLElement {
  const choosers: HTMLElement[] = [];
  const isChosen = ({ cell, plane }: { readonly cell: number; readonly plane: number }): boolean =>
    cell === app.choices.now.cell && plane === app.choices.now.plane;
  const rosettes = state?.rosettes ?? [];
  const rows = rosettes.flatMap((one) => {
    const temperature = state!.cells.find(({ cell }) => cell === one.cell)?.temperatureChange ?? NaN;
    const chooser = element('button', { type: 'button', class: 'link' }, [app.cellName(one.cell)]);
    chooser.addEventListener('click', () => app.choices.set({ cell: one.cell, plane: one.plane }));
    choosers.push(chooser);
    const numbers = [
      measure(one.e1 * microstrain.scale, ''),
      measure(one.e2 * microstrain.scale, ''),
      axisText(one.dirDeg, one.dirErrorDeg).replace('± ', '±\u00a0'),
      measure(one.vonMises * megapascal.scale, ''),
      measure(temperature * kelvin.scale, ''),
    ];
    const row = element('tr', { 'aria-current': isChosen(one) ? 'true' : undefined }, [
      element('th', { scope: 'row' }, [chooser]),
      element('td', {}, [app.planeName(one.plane) || undefinedText]),
      ...numbers.map((text) => element('td', { class: text.includes('°') ? 'number turn' : 'number' }, [text])),
    ]);
    return one.sick.length === 0 ? [row] : [row, sickRow(`${app.cellName(one.cell)} ${sickText(one.sick)}`)];
  });
  const body = element('tbody', {}, rows);
  oneStop(body, choosers, rosettes.findIndex(isChosen));
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
    body,
  ]);
}

/** Below the row it is about. */
function sickRow(text: string): HTMLElement {
  return element('tr', { class: 'sick' }, [element('td', { colspan: heads.length }, [text])]);
}
