import assert from 'node:assert/strict';
import type { Page } from 'playwright-core';
import { mapHeight, plateMap, type PlateMapInput } from '../../../src/core/display/map/svgMap.ts';
import { svgText } from '../../../src/core/display/svg/svg.ts';
import { aluminiumPlate } from '../../support/strainLog.ts';
import type { SickSpell } from '../../../src/core/strain/sickSpell.ts';
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
  const input = {
    header: { plate, cells, parts, channels: [], recoaterDirectionRad: Math.PI / 2 },
    pairs: cells.map((_, cell) => ({ cell, first: 2e-5, second: -4e-5, dirDeg: 17 * cell, dirErrorDeg: 0.1 })),
    unitLabel: 'µm/m',
    unitScale: 1e6,
    caption: 'principal strain',
    plane: -1,
    widthPx,
    ground: 'light' as const,
    ...more,
  };
  return { ...input, heightPx: mapHeight(input) };
}

/** Nine cells whose areas would reach beyond the plate. */
function nearTheEdge(widthPx: number, more: Partial<PlateMapInput> = {}): PlateMapInput {
  const map = gridMap(3, 3, widthPx);
  const places = [0.02, 0.125, 0.23];
  const cells = map.header.cells.map(({ name }, i) => {
    return { name, xM: places[i % 3]!, yM: places[Math.floor(i / 3)]! };
  });
  return { ...map, header: { ...map.header, cells }, ...more };
}

const jump: SickSpell = {
  ...{ cell: 0, plane: 0, channel: 1, name: 'A1_45', kind: 'jump', effect: 'without' },
  ...{ fromS: 600, toS: Infinity, onsetS: 600, layer: 12 },
};
const sickPairs = ({ pairs }: PlateMapInput): PlateMapInput['pairs'] =>
  pairs.map((pair) => (pair.cell === 0 ? { ...pair, sick: [jump] } : pair));

/** To the half pixel that a face may be wider than its letters are reckoned. */
const within = (one: Drawn, all: Drawn): boolean =>
  one.left >= all.left - 0.5 && one.right <= all.right + 0.5 && one.top >= all.top - 1 && one.bottom <= all.bottom + 1;
const overlaps = (a: Drawn, b: Drawn): boolean =>
  a.left < b.right && b.left < a.right && a.top + 2 < b.bottom - 2 && b.top + 2 < a.bottom - 2;

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
          const met = names.slice(i + 1).find((other) => overlaps(one, other));
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
    areas.forEach((one, i) => assert.ok(!areas.slice(i + 1).some((other) => overlaps(one, other)), `cell ${i}`));
  });

  it('stay on the plate, as the frames of cells do, however near the edge the cells lie', async () => {
    for (const width of [300, 420, 640, 1000]) {
      const map = nearTheEdge(width);
      await draw({ ...map, chosenCell: 0, pairs: sickPairs(map) });
      const [plate] = await boxes('.plate');
      const all = [...(await boxes('.cell-name')), ...(await boxes('.cell-area'))];
      assert.equal(all.length, 18);
      for (const one of all) assert.ok(within(one, plate!), `${one.text} at ${width} px`);
    }
  });

  it('are shortened where they are long, each to another text in its own cell, with its mark', async () => {
    const map = gridMap(2, 2, 400);
    const cells = map.header.cells.map((cell, i) => ({
      ...cell,
      name: `cell-under-the-support-of-the-bracket-${i + 1}`,
    }));
    await draw({ ...map, header: { ...map.header, cells }, pairs: sickPairs(map), chosenCell: 0 });
    const names = await boxes('.cell-name');
    const areas = await boxes('.cell-area');
    assert.equal(new Set(names.map(({ text }) => text)).size, 4);
    assert.match(names[0]!.text, /^cell.*….*1 −1$/);
    names.forEach((one, i) => assert.ok(within(one, areas[i]!), one.text));
  });

  it('are explained in the legend where they carry a mark', async () => {
    const map = gridMap(3, 3, 420);
    await draw(map);
    assert.doesNotMatch(await page.locator('.legend').innerHTML(), /left out/);
    await draw({ ...map, pairs: sickPairs(map) });
    assert.match(await page.locator('.legend').innerHTML(), />−1: a channel left out</);
  });
});

describe('the plate map, as a browser sets it', () => {
  let harness: ViewHarness;
  let page: Page;
  before(async () => {
    harness = await startHarness();
    page = await harness.open({ theme: 'light' });
  });
  after(() => harness.close());
  const draw = (input: PlateMapInput): Promise<Drawn[]> => {
    const markup = svgText(plateMap(input));
    return page.evaluate((text) => {
      document.getElementById('app')!.innerHTML = text;
      return [...document.querySelectorAll('.plate-map, .legend text, .legend rect')].map((one) => {
        const { left, right, top, bottom } = one.getBoundingClientRect();
        return { text: one.textContent ?? '', left, right, top, bottom };
      });
    }, markup);
  };

  it('has room for all of its legend, however narrow', async () => {
    const signed = { title: 'larger principal value', signed: true };
    const field = { ...signed, values: Array.from({ length: 9 }, (_, i) => 1e-5 * (i - 4)) };
    const none = { ...signed, values: [] };
    const senses = ['top in tension', 'bottom in tension'] as const;
    for (const width of [240, 320, 376, 420, 500, 720]) {
      for (const more of [{}, { field }, { senses }, { senses, field }, { senses, field: none }]) {
        const map = gridMap(3, 3, width, more);
        const pairs = sickPairs(map);
        const fullHeight = mapHeight({ ...map, pairs });
        for (const heightPx of [fullHeight, 0.7 * fullHeight]) {
          const [whole, ...legend] = await draw({ ...map, pairs, heightPx });
          const texts = legend.filter(({ text }) => text !== '');
          assert.ok(texts.length >= 2);
          for (const one of legend) assert.ok(within(one, whole!), `${one.text} at ${width} px`);
          texts.forEach((one, i) => {
            const met = texts.slice(i + 1).find((other) => overlaps(one, other));
            assert.equal(met, undefined, `${one.text} over ${met?.text} at ${width} px`);
          });
        }
      }
    }
  });

  it("draws the recoater's way over no cell", async () => {
    await draw(nearTheEdge(420));
    const apart = await page.evaluate(() => {
      const arrow = document.querySelector('.recoater')!.getBoundingClientRect();
      const { top } = document.querySelector('.plate')!.getBoundingClientRect();
      const drawing = document.querySelector('.plate-map')!.getBoundingClientRect();
      return arrow.bottom <= top && arrow.top >= drawing.top && arrow.right <= drawing.right;
    });
    assert.ok(apart);
  });
});
