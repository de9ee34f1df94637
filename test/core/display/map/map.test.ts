import assert from 'node:assert/strict';
import fc from 'fast-check';
import { cellGrid } from '../../../../src/core/display/map/cellGrid.ts';
import {
  cellSpacingM,
  circleOnPlate,
  crossScale,
  errorWedge,
  plateFrame,
  principalPair,
  strokeMark,
  toPage,
} from '../../../../src/core/display/map/mapGeometry.ts';
import { plateMap, type PlateMapInput } from '../../../../src/core/display/map/svgMap.ts';
import { svgText, type SvgNode } from '../../../../src/core/display/svg/svg.ts';
import type { SickSpell } from '../../../../src/core/strain/sickSpell.ts';

const margins = { left: 10, right: 10, top: 10, bottom: 10 };

function numbersOf(path: string): number[] {
  return [...path.matchAll(/-?\d+(\.\d+)?/g)].map(([text]) => Number(text));
}

describe('map geometry', () => {
  it('keeps the plate to scale, x to the right and y up on the page', () => {
    const frame = plateFrame([0.25, 0.1], 520, 520, margins);
    const [left, bottom] = toPage(frame, 0, 0);
    const [right, top] = toPage(frame, 0.25, 0.1);
    assert.ok(Math.abs((right - left) / (bottom - top) - 2.5) < 1e-9);
    assert.ok(right > left && bottom > top);
    assert.ok(Math.abs(right - left - 500) < 1e-9);
  });

  it('draws a stroke as long as its value asks, along its direction', () => {
    const { shaft, heads } = strokeMark(100, 100, Math.PI / 6, 1, 40);
    const xy = numbersOf(heads);
    const tips = [
      [100 + 40 * Math.cos(Math.PI / 6), 100 - 40 * Math.sin(Math.PI / 6)],
      [100 - 40 * Math.cos(Math.PI / 6), 100 + 40 * Math.sin(Math.PI / 6)],
    ];
    for (const [x, y] of tips) {
      const found = xy.some((value, i) => i % 2 === 0 && Math.hypot(value - x!, xy[i + 1]! - y!) < 0.02);
      assert.ok(found, `no tip at ${x} ${y} in ${heads}`);
    }
    assert.ok(shaft.startsWith('M'));
  });

  it('tells tension from compression by form: heads outwards on a line, inwards on a hollow bar', () => {
    const tension = strokeMark(0, 0, 0, 5, 30);
    const compression = strokeMark(0, 0, 0, -5, 30);
    assert.equal(tension.sense, 'tension');
    assert.equal(compression.sense, 'compression');
    // The middle point of each head is its tip: at the very end for tension, nearer to the centre for compression.
    const tip = (path: string): number => Math.abs(numbersOf(path.split('M')[1]!)[2]!);
    const wings = (path: string): number => Math.abs(numbersOf(path.split('M')[1]!)[0]!);
    assert.ok(tip(tension.heads) > wings(tension.heads));
    assert.ok(tip(compression.heads) < wings(compression.heads));
    assert.ok(compression.shaft.endsWith('Z') && !tension.shaft.endsWith('Z'));
  });

  it("states its scale: the bar is a round value at the crosses' own scale", () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-7, max: 1e4, noNaN: true }), (largest) => {
        const { halfPxPerUnit, barValue, barPx } = crossScale(100, largest);
        assert.ok(Math.abs(halfPxPerUnit * largest - 42) < 1e-6);
        assert.ok(Math.abs(barPx - 2 * halfPxPerUnit * barValue) < 1e-9);
        assert.ok(barValue <= largest * (1 + 1e-9) && barValue >= largest / 5.1, `${barValue} of ${largest}`);
      }),
    );
  });

  it('opens the wedge by one standard error to each side of the direction', () => {
    const xy = numbersOf(errorWedge(0, 0, 30, 10, 50));
    const angle = (i: number): number => (Math.atan2(-xy[i + 1]!, xy[i]!) * 180) / Math.PI;
    assert.ok(Math.abs(angle(2) - 20) < 0.1);
    assert.ok(Math.abs(angle(9) - 40) < 0.1);
  });

  it('finds principal values and direction (Mohr circle: 80, 20, 30 gives 92.43, 7.57 at 22.5 degrees)', () => {
    const pair = principalPair(0, 80, 20, 30);
    assert.ok(Math.abs(pair.first - (50 + 30 * Math.SQRT2)) < 1e-9);
    assert.ok(Math.abs(pair.second - (50 - 30 * Math.SQRT2)) < 1e-9);
    assert.ok(Math.abs(pair.dirDeg - 22.5) < 1e-9);
    assert.ok(Number.isNaN(principalPair(0, 5, 5, 0).dirDeg));
  });

  it("draws of an origin's circle what lies on the plate, and all of that", () => {
    const frame = plateFrame([0.2, 0.1], 220, 120, margins);
    const [left, right, top, bottom] = [10, 210, 10, 110];
    const coordinate = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(coordinate, coordinate, fc.double({ min: 5, max: 300, noNaN: true }), (u, v, r) => {
        const [x, y] = [left + u * (right - left), top + v * (bottom - top)];
        const path = circleOnPlate(x, y, r, frame);
        const arcs = [...path.matchAll(/M(\S+) (\S+)A\S+ \S+ 0 0 1 (\S+) (\S+?)(?=M|$)/g)].map((arc) =>
          arc.slice(1).map(Number),
        );
        let drawn = 0;
        for (const [ax, ay, bx, by] of arcs as [number, number, number, number][]) {
          for (const [px, py] of [
            [ax, ay],
            [bx, by],
          ] as const) {
            assert.ok(px >= left - 0.02 && px <= right + 0.02 && py >= top - 0.02 && py <= bottom + 0.02, path);
            assert.ok(Math.abs(Math.hypot(px - x, py - y) - r) < 0.02);
          }
          drawn += 2 * Math.asin(Math.min(1, Math.hypot(bx - ax, by - ay) / (2 * r)));
        }
        // The share of the circle on the plate, counted point by point.
        const points = Array.from({ length: 3600 }, (_, i) => (i * Math.PI) / 1800);
        const on = points.filter((angle) => {
          const [px, py] = [x + r * Math.cos(angle), y + r * Math.sin(angle)];
          return px >= left && px <= right && py >= top && py <= bottom;
        }).length;
        assert.ok(Math.abs(drawn - (on * Math.PI) / 1800) < 0.05, `${drawn} of ${on}`);
      }),
    );
  });

  it('takes the smallest distance between cells as their spacing', () => {
    const cells = [
      { xM: 0, yM: 0 },
      { xM: 0.1, yM: 0 },
      { xM: 0.1, yM: 0.03 },
    ];
    assert.ok(Math.abs(cellSpacingM(cells, [0.25, 0.25]) - 0.03) < 1e-12);
    assert.ok(cellSpacingM([cells[0]!], [0.3, 0.3]) > 0);
  });
});

describe('cell grid', () => {
  it('arranges cells as they lie: columns by x, rows from the back', () => {
    const cells = [
      { xM: 0.05, yM: 0.05 },
      { xM: 0.2, yM: 0.052 },
      { xM: 0.051, yM: 0.2 },
    ];
    const { columns, rows, places } = cellGrid(cells, 0.15);
    assert.deepEqual([columns, rows], [2, 2]);
    assert.deepEqual(places, [
      { column: 1, row: 2 },
      { column: 2, row: 2 },
      { column: 1, row: 1 },
    ]);
  });

  it('never puts two cells into one place', () => {
    const cell = fc.record({
      xM: fc.double({ min: 0, max: 1, noNaN: true }),
      yM: fc.double({ min: 0, max: 1, noNaN: true }),
    });
    fc.assert(
      fc.property(fc.array(cell, { maxLength: 30 }), (cells) => {
        const { places } = cellGrid(cells, cellSpacingM(cells, [1, 1]));
        assert.equal(new Set(places.map(({ column, row }) => `${column} ${row}`)).size, cells.length);
      }),
    );
  });
});

describe('plate map', () => {
  const header: PlateMapInput['header'] = {
    plate: {
      sizeM: [0.2, 0.2],
      thicknessM: 0.03,
      material: '',
      youngsModulusPa: 7e10,
      poissonsRatio: 0.33,
      thermalExpansionPerK: 2e-5,
      yieldStressPa: 1e8,
      assumed: [],
    },
    parts: [
      {
        name: 'ring <1>',
        outlineM: [
          [0.05, 0.05],
          [0.1, 0.05],
          [0.1, 0.1],
        ],
      },
    ],
    cells: [
      { name: 'A', xM: 0.05, yM: 0.05 },
      { name: 'B', xM: 0.15, yM: 0.05 },
      { name: 'C', xM: 0.05, yM: 0.15 },
      { name: 'D', xM: 0.15, yM: 0.15 },
    ],
    channels: [],
    recoaterDirectionRad: NaN,
  };
  const input: PlateMapInput = {
    header,
    pairs: [
      { cell: 0, first: 2e-4, second: -1e-4, dirDeg: 30, dirErrorDeg: 3 },
      { cell: 1, first: 1e-4, second: 1e-4, dirDeg: NaN, dirErrorDeg: NaN },
      { cell: 2, first: NaN, second: NaN, dirDeg: NaN, dirErrorDeg: NaN },
    ],
    unitLabel: 'µm/m',
    unitScale: 1e6,
    caption: 'principal strain',
    plane: -1,
    widthPx: 400,
    heightPx: 420,
    ground: 'light',
  };

  function cellOf(drawing: SvgNode, cell: number): SvgNode {
    const cells = drawing.children.find(
      (child): child is SvgNode => typeof child !== 'string' && child.attributes['class'] === 'cells',
    )!;
    return cells.children[cell] as SvgNode;
  }

  function classesIn(node: SvgNode): string[] {
    return node.children.flatMap((child) => (typeof child === 'string' ? [] : [String(child.attributes['class'])]));
  }

  it('draws what each cell knows: cross with wedge, ring without direction, dot without value', () => {
    const drawing = plateMap(input);
    assert.deepEqual(
      ['shaft tension', 'shaft compression', 'error-wedge'].map((name) => classesIn(cellOf(drawing, 0)).includes(name)),
      [true, true, true],
    );
    assert.ok(classesIn(cellOf(drawing, 1)).includes('no-direction tension'));
    assert.ok(classesIn(cellOf(drawing, 2)).includes('no-value'));
    assert.ok(classesIn(cellOf(drawing, 3)).includes('no-value'));
  });

  it('explains in its legend the ring of a cell without a value, where there is one', () => {
    const legendOf = (pairs: PlateMapInput['pairs'], noValue?: string): string =>
      svgText(plateMap({ ...input, pairs, noValue })).replace(/^.*class="legend"/s, '');
    const whole = input.pairs.find(({ dirDeg, first }) => Number.isFinite(dirDeg) && Number.isFinite(first))!;
    const all = input.header.cells.map((_, cell) => ({ ...whole, cell }));
    assert.doesNotMatch(legendOf(all), /circle|no value/);
    assert.match(legendOf(all.slice(1)), /<circle class="no-value".*no value/s);
    assert.match(legendOf(all.slice(1), 'no change found'), /no change found/);
  });

  it('explains in its legend the ring of a cell without a direction: where there is one, or one row to the next', () => {
    const legendOf = (more: Partial<PlateMapInput>): string =>
      svgText(plateMap({ ...input, ...more })).replace(/^.*class="legend"/s, '');
    const ring = /<circle class="no-direction tension"[^>]*>.*>no direction</s;
    const pairs = input.pairs.filter(({ dirDeg }) => Number.isFinite(dirDeg));
    assert.match(legendOf({}), ring);
    assert.doesNotMatch(legendOf({ pairs }), /no.direction/);
    assert.match(legendOf({ pairs, directionsVary: true }), ring);
    const without = input.pairs.filter(({ first }) => Number.isNaN(first));
    assert.doesNotMatch(legendOf({ pairs: without }), /no-direction/, 'no value is no direction undefined');
  });

  it('says in words what it shows, undefined as undefined', () => {
    const text = svgText(plateMap(input));
    assert.match(text, /A: 200 µm\/m and −100 µm\/m, direction 30° ± 3°/);
    assert.match(text, /B: 100 µm\/m and 100 µm\/m, direction undefined/);
    assert.match(text, /C: no value/);
  });

  it('marks a cell that has to do without a channel, and says which, since when and why', () => {
    const spell: SickSpell = {
      ...{ cell: 0, plane: 0, channel: 1, name: 'A_45', kind: 'wander', effect: 'without' },
      ...{ fromS: 600, toS: Infinity, onsetS: 600, layer: 12 },
    };
    const pairs = input.pairs.map((pair) => (pair.cell === 0 ? { ...pair, sick: [spell] } : pair));
    const text = svgText(plateMap({ ...input, pairs }));
    assert.match(text, /A: 200 µm\/m and −100 µm\/m, direction 30° ± 3°; without A_45 from layer 12: wander/);
    assert.match(text, />A −1<.*>B</s);
  });

  it('is markup without NaN, with names from the log escaped', () => {
    const event = { cells: [{ cell: 0 }], originM: [NaN, NaN] as const, originSpreadM: NaN };
    const text = svgText(plateMap({ ...input, event }));
    assert.doesNotMatch(text, /NaN|Infinity|undefined"/);
    assert.match(text, /ring &lt;1&gt;/);
    assert.doesNotMatch(text, /class="origin"/);
  });

  it('labels a surface as interpolated and gives its limits in the unit', () => {
    const field = { title: 'mean', values: [1e-4, -1e-4, 0, NaN], signed: true };
    const text = svgText(plateMap({ ...input, field, widthPx: 640 }));
    assert.match(text, /class="surface"/);
    assert.match(text, /µm\/m, mean, interpolated/);
  });

  it('names positive and negative values as their quantity has them', () => {
    const text = svgText(plateMap({ ...input, senses: ['top in tension', 'bottom in tension'] }));
    assert.match(text, /top in tension 200 µm\/m/);
    assert.match(text, /bottom in tension 200 µm\/m/);
    assert.doesNotMatch(text, />(tension|compression) /);
  });

  it('holds its scale where it is told the largest size', () => {
    const alone = svgText(plateMap(input));
    const held = svgText(plateMap({ ...input, largest: 1e-3 }));
    assert.match(alone, /tension 200 µm\/m/);
    assert.match(held, /tension 1000 µm\/m/);
  });
});
