// The map by pointer and keyboard: a click or Enter chooses a cell, arrows go to the neighbour in that direction.
import type { App } from '../app.ts';

/** By key: one step to the right, and one to the back. */
export const ways: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

export function mapKeys(app: App, host: HTMLElement): void {
  host.tabIndex = 0;
  host.setAttribute('role', 'application');
  host.setAttribute('aria-roledescription', 'plate map');
  host.setAttribute(
    'aria-label',
    'Plate map. Arrow keys choose the next cell in that direction; Enter goes to the line at the cursor. The table view has the same numbers.',
  );
  host.addEventListener('click', (event) => {
    const mark = event.target instanceof Element ? event.target.closest('[data-cell]') : null;
    if (!mark) return;
    const cell = Number(mark.getAttribute('data-cell'));
    if (event.shiftKey) app.choices.set({ comparedCell: cell });
    else chooseCell(app, cell);
  });
  host.addEventListener('keydown', (event) => {
    const way = ways[event.key];
    if (way) chooseCell(app, nextCell(app, app.choices.now.cell, way));
    else if (event.key === 'Enter') void app.revealTime(app.choices.timeS, false);
    else return;
    event.preventDefault();
  });
}

function chooseCell(app: App, cell: number): void {
  app.choices.set({ cell, plane: app.planeOf(cell, app.choices.now.plane) });
  // A cell alone has no line; the row at the cursor is the one that says what it does now.
  if (!Number.isNaN(app.choices.now.cursorS)) void app.revealTime(app.choices.now.cursorS, true);
}

/** The cell whose place lies most nearly in direction `way` from cell `start`: near along it, not far across it. */
export function nextCell(app: App, start: number, [wayX, wayY]: readonly [number, number]): number {
  const cells = app.summary?.header?.cells ?? [];
  const from = cells[start];
  if (!from) return 0;
  let best = start;
  let least = Infinity;
  cells.forEach(({ xM, yM }, cell) => {
    const along = (xM - from.xM) * wayX + (yM - from.yM) * wayY;
    const across = Math.abs((xM - from.xM) * wayY + (yM - from.yM) * wayX);
    if (along <= 1e-9 || along + 2 * across >= least) return;
    least = along + 2 * across;
    best = cell;
  });
  return best;
}
