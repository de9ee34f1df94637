// The laser moves to the next part of the layer earlier or later than usual, or stops: all cells that feel it leave their
// cycle, and nothing broke. First-order heating and cooling, the plate and its numbers are this test's own.
import assert from 'node:assert/strict';
import type { StrainEvent } from '../../../../src/core/change/events.ts';
import { along, quietPlate, watch } from '../../../support/quietPlate.ts';

interface Scene {
  /** Seconds for which the first part is exposed in a layer; usually 18. */
  readonly firstS: (layer: number) => number;
  /** Microstrain that lies on top of the cycle along a fibre of a cell. */
  readonly added?: (cell: number, directionDeg: number, layer: number, sinceS: number) => number;
}

const layers = 70;
const changedFrom = 60;
const recoatS = 8;
const secondS = 14;
const layerS = 50;
const coolingS = 8;
const directions = [0, 60, 120];

/** By cell, how the heat of either part strains it, microstrain (ex, ey, gxy): the nearer, the more, and no two alike. */
const strains = Array.from({ length: 9 }, (_, cell) =>
  [0, 1].map((part) => {
    const near = part === 0 ? 1 - (cell % 3) / 4 : 0.5 + (cell % 3) / 4;
    const turned = 0.7 * cell + 2 * part;
    return [18 * near, 18 * near * Math.cos(turned), 12 * near * Math.sin(turned)] as const;
  }),
);

function eventsOf({ firstS, added }: Scene, ...chunks: readonly (readonly number[])[]): readonly StrainEvent[] {
  const rows: { layer: number; sinceS: number; heat: readonly [number, number] }[] = [];
  let heat: readonly [number, number] = [0, 0];
  for (let layer = 0; layer < layers; layer++) {
    const first = firstS(layer);
    for (let sinceS = 0; sinceS < layerS; sinceS++) {
      const exposed =
        sinceS < recoatS ? -1 : sinceS < recoatS + first ? 0 : sinceS < recoatS + first + secondS ? 1 : -1;
      heat = [0, 1].map((part) => heat[part]! + ((exposed === part ? 1 : 0) - heat[part]!) / coolingS) as [
        number,
        number,
      ];
      rows.push({ layer, sinceS, heat });
    }
  }
  const plate = quietPlate({
    samples: rows.length,
    directionsDeg: directions,
    layer: (row) => rows[row]!.layer,
    reading: (value, cell, fibre, row) => {
      const { layer, sinceS, heat: now } = rows[row]!;
      const directionDeg = directions[fibre]!;
      const cycle = strains[cell]!.reduce((sum, strain, part) => sum + now[part]! * along(strain, directionDeg), 0);
      return value + cycle + (added?.(cell, directionDeg, layer, sinceS) ?? 0);
    },
  });
  return watch(plate, ...chunks).events.filter(({ nature }) => nature === 'mechanical');
}

const sure = (events: readonly StrainEvent[]): readonly StrainEvent[] =>
  events.filter(({ severity, kind, sure: isSure }) => severity === 'error' || (kind === 'strike' && isSure));

describe('the rhythm of a build', () => {
  for (const to of [10, 14, 24]) {
    it(`has no sure break where the laser goes to the second part after ${to} s instead of 18`, () => {
      const events = eventsOf({ firstS: (layer) => (layer < changedFrom ? 18 : to) });
      assert.deepEqual(sure(events), []);
    });
  }

  const usual = (): number => 18;
  const early = (layer: number): number => (layer < changedFrom ? 18 : 10);
  /** Cell 4, and its neighbours by less, from the middle of a layer on. */
  const release =
    (size: number, from: number) =>
    (cell: number, directionDeg: number, layer: number, sinceS: number): number => {
      const share = [0.1, 0.3, 0.1, 0.3, 1, 0.3, 0.1, 0.3, 0.1][cell]!;
      const isThere = layer > from || (layer === from && sinceS >= 30);
      return isThere ? size * share * along([1, -0.4, 0.9], directionDeg) : 0;
    };

  it('leaves a break sure while the laser keeps time', () => {
    const [told, ...others] = sure(eventsOf({ firstS: usual, added: release(25, changedFrom) }));
    assert.deepEqual([told?.layer, told?.cells[0]?.cell, others.length], [changedFrom, 4, 0]);
  });

  it('is the same whatever the chunks, and where the watch was saved within the layer that lost its time', () => {
    const chunks = [
      [7, 2990, 40, 1, 13],
      [1, 2, 4],
    ];
    assert.deepEqual(eventsOf({ firstS: early }, ...chunks), eventsOf({ firstS: early }));
  });

  it('tells a break in a layer that has lost its time, and is sure of one beyond anything that the cycle does', () => {
    const added = release(25, changedFrom + 1);
    const told = eventsOf({ firstS: early, added }).filter(({ layer }) => layer === changedFrom + 1);
    assert.ok(told.some(({ cells }) => cells[0]?.cell === 4));
    const gross = sure(eventsOf({ firstS: early, added: release(250, changedFrom + 1) }));
    assert.deepEqual(
      gross.map(({ layer, cells }) => [layer, cells[0]?.cell]),
      [[changedFrom + 1, 4]],
    );
  });
});
