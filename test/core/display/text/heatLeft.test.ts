import assert from 'node:assert/strict';
import { cellsWithHeat, heatLeftText } from '../../../../src/core/display/text/heatLeft.ts';
import { header, type ChannelSketch } from '../../../support/strainLog.ts';

const thermometer = (cell: number): ChannelSketch => ({ name: `T${cell}`, kind: 'temperature', cell });
const fibres = (cell: number, compensated = false): ChannelSketch[] =>
  [0, 45, 90].map((directionDeg) => ({
    name: `c${cell}_${directionDeg}`,
    kind: 'bragg',
    cell,
    directionDeg,
    compensated,
  }));

describe('heat that is left in the strain', () => {
  it('is that of cells whose temperature no channel tells', () => {
    const log = header({ channels: [...fibres(0), ...fibres(1), thermometer(0)] });
    assert.deepEqual(cellsWithHeat(log), [1]);
    assert.match(heatLeftText(log), /not taken out of B2:/);
  });

  it('is none where the plate, a strain-free fibre or the instrument itself tells the temperature', () => {
    const free: ChannelSketch = { name: 'free', kind: 'bragg', cell: 0, strainFree: true, compensated: false };
    for (const channels of [
      [...fibres(0), ...fibres(1), thermometer(-1)],
      [...fibres(0), free],
      [...fibres(0, true), ...fibres(1, true)],
    ]) {
      const log = header({ channels });
      assert.deepEqual(cellsWithHeat(log), []);
      assert.equal(heatLeftText(log), '');
    }
  });

  it('names some cells and counts the others', () => {
    const cells = [0, 1, 2, 3, 4, 5].flatMap((cell) => fibres(cell));
    assert.match(heatLeftText(header({ channels: [...cells, thermometer(5)] })), /B1, B2, B3 and 2 more cells:/);
    assert.match(heatLeftText(header({ channels: cells })), /any cell:/);
  });
});
