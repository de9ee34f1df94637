import assert from 'node:assert/strict';
import fc from 'fast-check';
import { PyramidBuilder } from '../../../../src/core/display/pyramid/pyramid.ts';
import {
  pixelColumns,
  sketchColumns,
  type RowRange,
  type WindowSource,
} from '../../../../src/core/display/pyramid/window.ts';

/** A log in memory; `asked` collects which rows were read again. */
function memoryLog(time: number[], series: number[][], bucketRows: number, periods: number[] = []) {
  const columns = [time, ...series].map((column) => Float64Array.from(column));
  const builder = new PyramidBuilder(columns.length, bucketRows, [0, ...periods]);
  builder.push(columns, time.length, 0);
  const [times, ...levels] = builder.finish();
  const asked: RowRange[] = [];
  const source: WindowSource = {
    times: times!,
    series: levels.map((one) => ({ levels: one, scale: 1 })),
    readRows: (ranges) => {
      asked.push(...ranges);
      return Promise.resolve(
        ranges.map(({ from, to }) => ({
          timeS: columns[0]!.slice(from, to),
          values: columns.slice(1).map((column) => column.slice(from, to)),
        })),
      );
    },
  };
  return { source, asked };
}

/** M4 by definition: group rows by pixel column; first, extremes in order (first of equals), last. */
function naiveM4(time: number[], values: number[], fromS: number, toS: number, pixels: number): number[][] {
  const columns: number[][] = Array.from({ length: pixels }, () => []);
  const bounds = Array.from({ length: pixels + 1 }, (_, k) => fromS + ((toS - fromS) * k) / pixels);
  time.forEach((t, row) => {
    if (t < fromS || t > toS) return;
    let k = 0;
    while (k < pixels - 1 && t >= bounds[k + 1]!) k++;
    columns[k]!.push(row);
  });
  return columns
    .filter((rows) => rows.length > 0)
    .map((rows) => {
      const seen = rows.filter((row) => !Number.isNaN(values[row]!));
      let low = seen[0];
      let high = seen[0];
      for (const row of seen) {
        if (values[row]! < values[low!]!) low = row;
        if (values[row]! > values[high!]!) high = row;
      }
      const extremes = low === undefined ? [NaN, NaN] : [low, high!].sort((a, b) => a - b).map((row) => values[row]!);
      return [values[rows[0]!]!, ...extremes, values[rows.at(-1)!]!];
    });
}

const stepped = fc
  .array(fc.oneof({ weight: 20, arbitrary: fc.integer({ min: 0, max: 20 }) }, fc.integer({ min: 100, max: 900 })), {
    minLength: 2,
    maxLength: 900,
  })
  .map((steps) => {
    let now = 0;
    return steps.map((step) => (now += step) / 10);
  });

describe('pixel columns', () => {
  it('have a slow twin that keeps rows 0 3 4 5 7 8 9 11 of twelve in three columns (M4, Jugel et al. 2014; by hand)', () => {
    const values = [0, 1, 0, 5, 0, 1, 0, -3, 0, 1, 0, 1];
    const kept = naiveM4(
      values.map((_, row) => row),
      values,
      0,
      11.999,
      3,
    );
    // Rows 0 | 0 3 | 3, then 4 | 5 7 | 7, then 8 | 8 9 | 11: the twelve points of which eight are distinct rows.
    assert.deepEqual(kept, [
      [0, 0, 5, 5],
      [0, 1, -3, -3],
      [0, 0, 1, 1],
    ]);
  });

  it('equals M4 on the raw rows for any data, gaps in values and time, window, width and bucket', async () => {
    await fc.assert(
      fc.asyncProperty(
        stepped,
        fc.array(fc.oneof({ weight: 8, arbitrary: fc.integer({ min: -99, max: 99 }) }, fc.constant(NaN)), {
          minLength: 900,
          maxLength: 900,
        }),
        fc.constantFrom(2, 3, 16),
        fc.integer({ min: 1, max: 40 }),
        fc.tuple(fc.double({ min: -0.1, max: 1.1, noNaN: true }), fc.double({ min: -0.1, max: 1.1, noNaN: true })),
        async (time, long, bucketRows, pixels, [a, b]) => {
          const values = long.slice(0, time.length);
          const end = time.at(-1)!;
          const [fromS, toS] = [Math.min(a, b) * end, Math.max(a, b) * end];
          const { source } = memoryLog(time, [values], bucketRows);
          const drawn = await pixelColumns(source, fromS, toS, pixels);
          if (drawn.columns === 0) {
            const inside = (list: number[]): number[] => list.filter((_, i) => time[i]! >= fromS && time[i]! <= toS);
            const shown = [...drawn.values[0]!].filter((_, i) => drawn.timeS[i]! >= fromS && drawn.timeS[i]! <= toS);
            assert.deepEqual(shown, inside(values));
            return;
          }
          const expected = naiveM4(time, values, fromS, toS, pixels);
          assert.equal(drawn.columns, expected.length);
          assert.deepEqual([...drawn.values[0]!], expected.flat());
        },
      ),
      { numRuns: 400 },
    );
  });

  it('gives times that ascend and lie inside the window', async () => {
    const time = Array.from({ length: 5000 }, (_, i) => i * 0.1 + (i > 2500 ? 300 : 0));
    const { source } = memoryLog(time, [time], 16);
    const drawn = await pixelColumns(source, 10, 700, 50);
    for (let i = 1; i < drawn.timeS.length; i++) assert.ok(drawn.timeS[i]! >= drawn.timeS[i - 1]!);
    assert.ok(drawn.timeS[0]! >= 10 && drawn.timeS.at(-1)! <= 700);
  });

  it('hands over the rows themselves, and one beyond each end, where there are few', async () => {
    const time = Array.from({ length: 1000 }, (_, i) => i);
    const { source } = memoryLog(time, [time.map((t) => t * 2)], 16);
    const drawn = await pixelColumns(source, 100, 200, 100);
    assert.equal(drawn.columns, 0);
    assert.deepEqual([drawn.timeS[0], drawn.timeS.at(-1), drawn.timeS.length], [99, 201, 103]);
    assert.equal(drawn.values[0]![0], drawn.timeS[0]! * 2);
  });

  it('reads again only the buckets about the column edges', async () => {
    const rows = 100_000;
    const time = Array.from({ length: rows }, (_, i) => i / 10);
    const { source, asked } = memoryLog(time, [time], 16);
    await pixelColumns(source, 0, rows / 10, 100);
    const read = asked.reduce((sum, { from, to }) => sum + to - from, 0);
    assert.ok(read <= 101 * (16 * 2 + 2), `${read} rows read`);
  });

  it('draws nothing of a log without rows or a window before its start', async () => {
    const empty = memoryLog([], [[]], 16);
    assert.equal((await pixelColumns(empty.source, 0, 10, 100)).timeS.length, 0);
    const { source } = memoryLog([5, 6, 7, 8, 9, 10, 11, 12], [[1, 2, 3, 4, 5, 6, 7, 8]], 2);
    const before = await pixelColumns(source, 0, 1, 1);
    assert.ok([...before.timeS].every((t) => t > 1));
  });
});

describe('sketch columns', () => {
  it('keeps the overall extremes of the window from the pyramid alone and says that it is not exact', () => {
    const rows = 20_000;
    const time = Array.from({ length: rows }, (_, i) => i);
    const values = time.map((t) => (t === 13_337 ? 999 : t === 4_242 ? -777 : t % 7));
    const { source, asked } = memoryLog(time, [values], 16);
    const drawn = sketchColumns(source, 0, rows, 200);
    assert.equal(drawn.exact, false);
    assert.equal(Math.max(...drawn.values[0]!), 999);
    assert.equal(Math.min(...drawn.values[0]!), -777);
    assert.equal(asked.length, 0);
  });
});

describe('directions in a window', () => {
  const degrees = (value: number): number => (value * Math.PI) / 180;
  const wrap = (value: number): number => ((value % 180) + 180) % 180;

  for (const [title, pixels] of [
    ['pixel columns', 40],
    ['rows', 4000],
  ] as const) {
    it(`do not jump where they pass through 180 degrees (${title})`, async () => {
      const time = Array.from({ length: 8000 }, (_, i) => i);
      // Turns slowly from 160 through 180 to 380 degrees, with a 2 degree ripple: always small steps in truth.
      const truth = time.map((t) => 160 + (220 * t) / 8000 + 2 * Math.sin(t / 3));
      const { source } = memoryLog(time, [truth.map((d) => degrees(wrap(d)))], 16, [Math.PI]);
      const drawn = await pixelColumns(source, 0, 8000, pixels);
      assert.equal(drawn.columns > 0, pixels === 40);
      const shown = [...drawn.values[0]!].map((v) => (v * 180) / Math.PI);
      for (let i = 1; i < shown.length; i++) assert.ok(Math.abs(shown[i]! - shown[i - 1]!) < 15, `jump at ${i}`);
      shown.forEach((value, i) => {
        const around = truth[Math.min(7999, Math.round(drawn.timeS[i]!))]!;
        const apart = Math.abs(((((value - around) % 180) + 270) % 180) - 90);
        assert.ok(apart < 180 / pixels + 5, `off by ${apart} at ${i}`);
      });
    });
  }

  it('come back after a burst of random directions to the place they had before', async () => {
    const time = Array.from({ length: 4000 }, (_, i) => i);
    let seed = 1;
    const random = (): number => (seed = (seed * 16807) % 2147483647) / 2147483647;
    const truth = time.map((t) => (t > 1500 && t < 2000 ? 180 * random() : wrap(178 + 6 * (random() - 0.5))));
    const { source } = memoryLog(time, [truth.map(degrees)], 16, [Math.PI]);
    const drawn = await pixelColumns(source, 0, 4000, 50);
    const shown = [...drawn.values[0]!].map((v) => (v * 180) / Math.PI);
    const before = shown[0]!;
    for (const value of [...shown.slice(1, 4 * 15), ...shown.slice(-4 * 15)]) assert.ok(Math.abs(value - before) < 10);
  });
});
