// Marks the cells of the drawn map that lie outside the good builds' band: two corners around the cell, told by form.
import { svg } from '../../src/core/display/svg/svg.ts';
import { drawnSvg } from '../map/svgDom.ts';

/** `cells`: indices; a cell that is not drawn is passed over. */
export function markOutside(map: Element, cells: ReadonlySet<number>): void {
  for (const mark of map.querySelectorAll('.cell[data-cell]')) {
    const area = mark.querySelector('.cell-area');
    if (!area || !cells.has(Number(mark.getAttribute('data-cell')))) continue;
    const [x, y, size] = ['x', 'y', 'width'].map((name) => Number(area.getAttribute(name))) as [number, number, number];
    const arm = 0.3 * size;
    const d = `M${x} ${y + arm}V${y}h${arm}M${x + size} ${y + size - arm}v${arm}h${-arm}`;
    mark.classList.add('outside-band');
    area.after(drawnSvg(svg('path', { class: 'outside-mark', d })));
  }
}
