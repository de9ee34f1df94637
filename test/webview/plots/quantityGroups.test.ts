import assert from 'node:assert/strict';
import { quantities, quantityOf, seriesName, shownUnit } from '../../../src/core/display/quantities.ts';
import type { SeriesInfo } from '../../../src/messages/analysis.ts';
import { quantityGroups } from '../../../webview/plots/quantityGroups.ts';

/** Every quantity of cell 0 on planes 0 and 1, of cell 1 on plane 0, three raw columns and a derived one. */
function series(): SeriesInfo[] {
  const info = (id: string, cell: number, plane: number, quantity: string, unitLabel: string): SeriesInfo => ({
    id,
    cell,
    plane,
    quantity,
    title: id,
    unitLabel,
  });
  const computed = quantities.flatMap(({ suffix, unitLabel, of }) =>
    of === 'cell'
      ? [info(seriesName('A', '', suffix), 0, -1, suffix, unitLabel)]
      : [
          info(seriesName('A', 'up', suffix), 0, 0, suffix, unitLabel),
          info(seriesName('A', 'low', suffix), 0, 1, suffix, unitLabel),
          info(seriesName('B', 'up', suffix), 1, 0, suffix, unitLabel),
        ],
  );
  return [
    info('A_up_0', 0, 0, '', 'nm'),
    info('A_low_0', 0, 1, '', 'nm'),
    info('A_T', 0, -1, '', '°C'),
    ...computed,
    info('bend', -1, -1, '', 'nm'),
  ];
}

describe('quantity groups', () => {
  it('hold lines of one cell, one plane and one unit', () => {
    const all = series();
    for (const group of quantityGroups(all, 0, 1)) {
      const infos = group.lines.map((line) => all.find(({ id }) => id === line.series)!);
      assert.equal(new Set(infos.map(({ unitLabel }) => unitLabel)).size, 1, group.name);
      assert.ok(infos.every(({ cell, plane }) => (cell === 0 && (plane === 1 || plane === -1)) || cell === -1));
    }
  });

  it('leave no quantity out: each is a line or the error of one', () => {
    const groups = quantityGroups(series(), 0, 0);
    const shown = new Set(groups.flatMap(({ lines }) => lines.flatMap((line) => [line.series, line.errorSeries])));
    for (const { suffix, of } of quantities) {
      assert.ok(shown.has(seriesName('A', of === 'cell' ? '' : 'up', suffix)), suffix);
    }
    for (const id of ['A_up_0', 'A_T', 'bend']) assert.ok(shown.has(id), id);
    assert.ok(!shown.has('A_low_0') && !shown.has('B_up_e1'));
  });

  it('show forces of the plate in thousands, all else in the unit that is answered', () => {
    const all = series();
    for (const { name, unitLabel, factor, lines } of quantityGroups(all, 0, 0)) {
      const answered = all.find(({ id }) => id === lines[0]!.series)!.unitLabel;
      assert.deepEqual([unitLabel, factor], name === 'forces' ? ['kN/m', 1e-3] : [answered, 1], name);
    }
    const { unit, scale, unitLabel } = quantityOf('nx')!;
    assert.deepEqual([unit, scale, unitLabel], ['N/m', 1, 'N/m'], 'files and answers are in the base unit');
    assert.equal(shownUnit(quantityOf('e1')!).unit.unitLabel, 'µm/m');
  });

  it('draw the direction as axial with its error', () => {
    const direction = quantityGroups(series(), 0, 0).find(({ name }) => name === 'direction')!;
    assert.equal(direction.axial, true);
    assert.deepEqual(direction.lines, [{ series: 'A_up_dir', title: 'dir', errorSeries: 'A_up_dir_err' }]);
  });
});
