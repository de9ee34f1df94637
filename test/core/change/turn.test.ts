// The turn of the principal direction by a break, where the cycle of the layer turns it to and fro all the time. Truth by the
// strain that the test put in: tan(2 a) = gxy / (exx - eyy).
import assert from 'node:assert/strict';
import { along, quietPlate, watch } from '../../support/quietPlate.ts';

/** A layer has so many rows; in the middle half of them it shears the metal by so much (microstrain). */
const layerRows = 40;
const shear = 80;
/** The datum is taken before the layers begin; strain then grows by [30, -30, 0] and stays. */
const begin = 80;
const own = 40;

function cycle(row: number): number {
  const since = (row - begin) % layerRows;
  return row >= begin && since >= layerRows / 4 && since < (3 * layerRows) / 4 ? shear : 0;
}

const directionDeg = (gxy: number): number => ((Math.atan2(gxy, 60) / 2) * 180) / Math.PI;

describe('the turn by a break', () => {
  for (const since of [4, 18, 34]) {
    it(`is that at its onset, ${since} rows after the layer began`, () => {
      const at = begin + 30 * layerRows + since;
      const truth = directionDeg(cycle(at) + own) - directionDeg(cycle(at));
      for (let seed = 1; seed <= 4; seed++) {
        const plate = quietPlate({
          seed,
          samples: at + 300,
          layer: (row) => (row < begin ? NaN : Math.floor((row - begin) / layerRows)),
          header: { datum: { fromS: 0, toS: 60 } },
          reading: (value, cell, fibre, row) => {
            const strain = row < 70 ? 0 : 30;
            const broken = cell === 4 && row >= at ? own : 0;
            return value + along([strain, -strain, cycle(row) + broken], 60 * fibre);
          },
        });
        const event = watch(plate).events.find(({ row, nature }) => nature === 'mechanical' && Math.abs(row - at) < 5);
        const { turnDeg, turnErrorDeg } = event!.cells[0]!;
        assert.ok(Math.abs(turnDeg - truth) < 4 * turnErrorDeg, `${turnDeg} +- ${turnErrorDeg}, truth ${truth}`);
        assert.ok(turnErrorDeg < 2, `${turnErrorDeg}`);
      }
    });
  }
});
