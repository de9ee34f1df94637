import assert from 'node:assert/strict';
import { cellFrame } from '../../../src/core/change/cellFrame.ts';
import { CellStrain } from '../../../src/core/strain/cellStrain.ts';
import { cellLayouts } from '../../../src/core/strain/layout.ts';
import { plainContext } from '../../support/oneRow.ts';
import { header } from '../../support/strainLog.ts';
import type { ChannelSketch } from '../../support/strainLog.ts';

describe('the frame of a cell', () => {
  it('knows each plane by the noise of the thermometer by which its strain is compensated', () => {
    const planes = [0, 1];
    const fibres = planes.flatMap((plane) =>
      [0, 60, 120].map((directionDeg): ChannelSketch => ({
        name: `p${plane}_${directionDeg}`,
        kind: 'strain',
        directionDeg,
        plane,
        compensated: false,
      })),
    );
    const log = header({
      planes: planes.map((i) => ({ name: `p${i}`, heightM: 0.008 * (2 * i - 1) })),
      channels: [{ name: 'T', kind: 'temperature' }, { name: 'Tup', kind: 'temperature', plane: 1 }, ...fibres],
    });
    const context = { ...plainContext(log), noise: log.channels.map((_, i) => [0.01, 0.5][i] ?? 1e-6) };
    const layout = cellLayouts(log)[0]!;
    const { rosettes } = cellFrame(log, layout, context);
    const strain = new CellStrain(log, layout, context, 1);
    [0.01, 0.5].forEach((kelvin, r) => {
      const { covariance } = rosettes[r]!.solver.full!;
      // The mean of ex and ey is that of three equal fibres, and heat moves all of them by 23.6 um/m per kelvin.
      const [xx, yy, , xy] = covariance;
      const expected = 1e-12 / 3 + (23.6e-6 * kelvin) ** 2;
      assert.ok(Math.abs((xx + yy + 2 * xy) / 4 / expected - 1) < 1e-9);
      assert.deepEqual(strain.solver(r).full!.covariance, covariance);
    });
  });
});
