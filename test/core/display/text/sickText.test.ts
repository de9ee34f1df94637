import assert from 'node:assert/strict';
import { byCell, sickCells, sickMark, sickText } from '../../../../src/core/display/text/sickText.ts';
import type { SickSpell } from '../../../../src/core/strain/sickSpell.ts';

const wander: SickSpell = {
  ...{ cell: 4, plane: 0, channel: 7, name: 'B2_45', kind: 'wander', effect: 'without' },
  ...{ fromS: 1880, toS: Infinity, onsetS: 1880, layer: 12 },
};
const stuck: SickSpell = { ...wander, name: 'B2_0', kind: 'stuck', effect: 'doubtful', fromS: 2000, toS: 2065 };

describe('what is said of a cell with a sick channel', () => {
  it('names the channel, since when, until when if it is over, and why', () => {
    assert.equal(sickText([]), '');
    assert.equal(sickText([wander]), 'without B2_45 from layer 12: wander');
    assert.equal(sickText([{ ...wander, layer: -1 }]), 'without B2_45 from 0:31:20: wander');
    assert.equal(
      sickText([wander, stuck]),
      'without B2_45 from layer 12: wander; doubtful from 0:33:20 until 0:34:25: reading stuck in B2_0, and no direction to spare',
    );
  });

  it('puts channels of one fate together', () => {
    const lost = { ...wander, kind: 'dropout', effect: 'none', toS: 1940 } as const;
    assert.equal(
      sickText([lost, { ...lost, name: 'B2_90' }]),
      'no tensor from layer 12 until 0:32:20: readings missing in B2_45, B2_90',
    );
  });

  it('tells the spells of each cell together', () => {
    const other = { ...wander, cell: 2, name: 'C1_0' };
    assert.deepEqual(byCell([wander, other, stuck]), [
      { cell: 4, sick: [wander, stuck] },
      { cell: 2, sick: [other] },
    ]);
  });

  it('marks the cell, and names few cells at once', () => {
    assert.deepEqual([[], [wander], [stuck], [wander, stuck]].map(sickMark), ['', '−1', '?', '−1 ?']);
    const cells = [0, 1, 2, 3, 4].map((cell) => ({ cell, sick: cell === 0 ? [] : [wander] }));
    assert.deepEqual(
      sickCells(cells, (cell) => `C${cell}`),
      [
        ...['C1', 'C2', 'C3'].map((name) => `${name} without B2_45 from layer 12: wander`),
        '1 more cell with sick channels',
      ],
    );
  });

  it('names the longest of many spells in their order, and counts the rest', () => {
    const brief = (fromS: number, lastsS: number): SickSpell => ({
      ...{ ...wander, kind: 'dropout', layer: -1 },
      ...{ fromS, onsetS: fromS, toS: fromS + lastsS },
    });
    const [told] = sickCells(
      [{ cell: 4, sick: [brief(60, 5), brief(120, 30), brief(180, 6), brief(240, 7), brief(300, 20), wander] }],
      () => 'B2',
    );
    assert.equal(
      told,
      'B2 without B2_45 from 0:02:00 until 0:02:30: readings missing; without B2_45 from 0:05:00 until 0:05:20: readings missing; ' +
        'without B2_45 from layer 12: wander; and 3 shorter spells',
    );
    assert.doesNotMatch(
      sickCells([{ cell: 4, sick: [wander, brief(60, 5), brief(120, 30)] }], () => 'B2')[0]!,
      /shorter/,
    );
  });
});
