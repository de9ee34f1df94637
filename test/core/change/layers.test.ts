// What layers look like in logs that are not written for this tool: long layers at a high rate, rows lost where a layer
// begins. The plate is sound, so nothing mechanical is there to be told.
import assert from 'node:assert/strict';
import { quietPlate, watch } from '../../support/quietPlate.ts';

interface Row {
  readonly timeS: number;
  readonly layer: number;
  /** Since the layer began, and until it ends. */
  readonly sinceS: number;
  readonly leftS: number;
}

function layered(rateHz: number, layers: number, layerS: (layer: number) => number): Row[] {
  const rows: Row[] = [];
  let beganS = 0;
  for (let layer = 0; layer < layers; layer++) {
    const endS = beganS + layerS(layer);
    for (; rows.length / rateHz < endS;) {
      const timeS = rows.length / rateHz;
      rows.push({ timeS, layer, sinceS: timeS - beganS, leftS: endS - timeS });
    }
    beganS = endS;
  }
  return rows;
}

/** What is told of mechanics; `cycle`: microstrain that comes and goes with each layer, in all directions alike. */
function mechanical(rows: readonly Row[], cycle: (row: Row) => number): string[] {
  const plate = quietPlate({
    columns: 2,
    rows: 2,
    samples: rows.length,
    noise: 1.5,
    timeS: (row) => rows[row]!.timeS,
    layer: (row) => rows[row]!.layer,
    reading: (value, _cell, _fibre, row) => value + cycle(rows[row]!),
  });
  const told = watch(plate).events.filter(({ nature }) => nature === 'mechanical');
  return told.map(({ message }) => message);
}

describe('layers of a sound plate', () => {
  it('give no alarm where one has more samples than it is divided into, and each is of another length', () => {
    const rows = layered(50, 30, (layer) => 34 + 1.5 * Math.sin(2.3 * layer));
    assert.deepEqual(
      mechanical(rows, ({ sinceS }) => 1.2 * sinceS),
      [],
    );
  });

  for (const [before, after] of [
    [6, 6],
    [3, 9],
    [9, 3],
  ] as const) {
    it(`give no alarm where ${before} rows are lost before a layer begins and ${after} after`, () => {
      const rows = layered(1, 64, () => 34).filter(({ layer, sinceS, leftS }) => {
        if (layer < 29) return true;
        return !(layer % 10 === 9 && leftS <= before) && !(layer % 10 === 0 && sinceS < after);
      });
      assert.deepEqual(
        mechanical(rows, ({ sinceS }) => (sinceS > 8 && sinceS < 26 ? 40 : 0)),
        [],
      );
    });
  }
});
