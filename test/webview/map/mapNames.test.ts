import assert from 'node:assert/strict';
import type { Page } from 'playwright-core';
import { mapHeight, plateMap, type PlateMapInput } from '../../../src/core/display/svgMap.ts';
import { svgText } from '../../../src/core/display/svg.ts';
import { aluminiumPlate } from '../../support/strainLog.ts';
import { startHarness, type ViewHarness } from '../harness/viewHarness.ts';

interface Drawn {
  readonly text: string;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

const size = 0.25;
const block = (name: string, x: number, y: number, width: number, depth: number) => ({
  name,
  outlineM: [
    [x, y],
    [x + width, y],
    [x + width, y + depth],
    [x, y + depth],
  ] as [number, number][],
});

function gridMap(columns: number, rows: number, widthPx: number, more: Partial<PlateMapInput> = {}): PlateMapInput {
  const plate = { ...aluminiumPlate, sizeM: [size, size] as const };
  const cells = Array.from({ length: columns * rows }, (_, i) => ({
    name: `${String.fromCharCode(65 + (i % columns))}${1 + Math.floor(i / columns)}`,
    xM: (size * ((i % columns) + 0.5)) / columns,
    yM: (size * (Math.floor(i / columns) + 0.5)) / rows,
  }));
  const parts = [block('bracket 1', 0.03, 0.03, 0.08, 0.065), block('manifold', 0.06, 0.14, 0.13, 0.075)];
  return {
    header: { plate, cells, parts, channels: [], recoaterDirectionRad: NaN },
    pairs: cells.map((_, cell) => ({ cell, first: 2e-5, second: -4e-5, dirDeg: 17 * cell, dirErrorDeg: 0.1 })),
    unitLabel: 'µm/m',
    unitScale: 1e6,
    caption: 'principal strain',
    plane: -1,
    widthPx,
    heightPx: mapHeight({ plate }, widthPx, false),
    ground: 'light',
    ...more,
  };
}

describe('names on the plate map, as a browser sets them', () => {
  let harness: ViewHarness;
  let page: Page;
  const boxes = (of: string): Promise<Drawn[]> =>
    page.locator(`.plate-map ${of}`).evaluateAll((all) =>
      all.map((one) => {
        const { left, right, top, bottom } = one.getBoundingClientRect();
        return { text: one.textContent ?? '', left, right, top, bottom };
      }),
    );
  const draw = async (input: PlateMapInput): Promise<void> => {
    const markup = svgText(plateMap(input));
    await page.evaluate((text) => (document.getElementById('app')!.innerHTML = text), markup);
  };
  const meet = (a: Drawn, b: Drawn): boolean =>
    a.left < b.right && b.left < a.right && a.top + 2 < b.bottom - 2 && b.top + 2 < a.bottom - 2;

  before(async () => {
    harness = await startHarness();
    page = await harness.open({ theme: 'light' });
  });
  after(() => harness.close());

  it('stand apart: cells from cells, parts from cells and parts', async () => {
    for (const [columns, rows] of [
      [3, 3],
      [5, 4],
      [8, 8],
    ] as const) {
      for (const width of [300, 420, 640, 1000]) {
        await draw(gridMap(columns, rows, width, { chosenCell: 0 }));
        const names = [...(await boxes('.cell-name')), ...(await boxes('.part-name'))];
        names.forEach((one, i) => {
          const met = names.slice(i + 1).find((other) => meet(one, other));
          assert.equal(met, undefined, `${one.text} over ${met?.text}, ${columns} x ${rows} cells at ${width} px`);
        });
      }
    }
  });

  it('name every cell where there is room for all', async () => {
    await draw(gridMap(3, 3, 420));
    assert.equal((await boxes('.cell-name')).length, 9);
  });

  it('leave the crosses free where there is none: only cells asked after are named', async () => {
    const event = { cells: [{ cell: 77 }, { cell: 78 }], originM: [NaN, NaN] as const, originSpreadM: NaN };
    await draw(gridMap(20, 10, 420, { chosenCell: 25, comparedCell: 140, event }));
    const names = await boxes('.cell-name');
    assert.deepEqual(names.map(({ text }) => text).sort(), ['A8', 'F2', 'R4']);
    const titles = await page.locator('.plate-map .cell title').allTextContents();
    assert.equal(titles.filter((text) => /^[A-T]\d+: /.test(text)).length, 200, 'the rest by hovering');
  });

  it('keep crosses of crowded cells apart', async () => {
    await draw(gridMap(20, 10, 420));
    const areas = await boxes('.cell-area');
    areas.forEach((one, i) => assert.ok(!areas.slice(i + 1).some((other) => meet(one, other)), `cell ${i}`));
  });
});
