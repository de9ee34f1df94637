import assert from 'node:assert/strict';
import fc from 'fast-check';
import { PyramidBuilder, bucketRowsFor, fanOut } from '../../../../src/core/display/pyramid/pyramid.ts';
import type { Pyramid } from '../../../../src/core/display/pyramid/pyramidLevels.ts';

/** The slow twin: minimum and maximum of rows [from, to) with the row where each first stands. */
function naive(column: ArrayLike<number>, from: number, to: number): { pair: [number, number]; seen: boolean } {
  let lowAt = -1;
  let highAt = -1;
  for (let row = from; row < Math.min(to, column.length); row++) {
    const value = column[row]!;
    if (Number.isNaN(value)) continue;
    if (lowAt < 0 || value < column[lowAt]!) lowAt = row;
    if (highAt < 0 || value > column[highAt]!) highAt = row;
  }
  if (lowAt < 0) return { pair: [NaN, NaN], seen: false };
  const low = column[lowAt]!;
  const high = column[highAt]!;
  return { pair: lowAt <= highAt ? [low, high] : [high, low], seen: true };
}

function build(columns: number[][], bucketRows: number, cuts: number[], periods: number[] = []): PyramidBuilder {
  const builder = new PyramidBuilder(columns.length, bucketRows, periods);
  const rows = columns[0]!.length;
  const stops = [...new Set([...cuts.filter((cut) => cut < rows), rows])].sort((a, b) => a - b);
  let from = 0;
  for (const stop of stops) {
    builder.push(
      columns.map((column) => Float64Array.from(column.slice(from, stop))),
      stop - from,
      from,
    );
    from = stop;
  }
  return builder;
}

function allPairs(pyramid: Pyramid): number[] {
  const out = new Float64Array(2);
  const list: number[] = [];
  for (const series of pyramid) {
    for (let level = 0; series.buckets(level) > 0; level++) {
      for (let bucket = 0; bucket < series.buckets(level); bucket++) {
        series.extremes(level, bucket, out);
        list.push(out[0]!, out[1]!);
      }
    }
  }
  return list;
}

const readings = fc.array(fc.oneof({ weight: 9, arbitrary: fc.integer({ min: -5000, max: 5000 }) }, fc.constant(NaN)), {
  minLength: 1,
  maxLength: 1200,
});

describe('display pyramid', () => {
  it('keeps the two extremes of every whole bucket on every level, in order of occurrence', () => {
    fc.assert(
      fc.property(readings, fc.constantFrom(2, 4, 16), (column, bucketRows) => {
        const [series] = build([column], bucketRows, []).finish();
        const out = new Float64Array(2);
        for (let level = 0, span = bucketRows; level === 0 || series!.buckets(level) > 0; level++, span *= fanOut) {
          assert.equal(series!.buckets(level), Math.floor(column.length / span));
          for (let bucket = 0; bucket < series!.buckets(level); bucket++) {
            series!.extremes(level, bucket, out);
            assert.deepEqual([...out], naive(column, bucket * span, (bucket + 1) * span).pair);
          }
        }
      }),
    );
  });

  it('gives the same pyramid whatever the blocks', () => {
    fc.assert(
      fc.property(readings, fc.array(fc.nat(1200)), (column, cuts) => {
        const whole = build([column, column.toReversed()], 8, []);
        const pieces = build([column, column.toReversed()], 8, cuts);
        assert.deepEqual(allPairs(pieces.finish()), allPairs(whole.finish()));
        assert.deepEqual(pieces.save().low, whole.save().low);
      }),
    );
  });

  it('gives each series the same when series are split over builders', () => {
    const columns = [0, 1, 2].map((k) => Array.from({ length: 999 }, (_, i) => Math.sin(i * (k + 1)) * 300));
    const together = build(columns, 16, [100, 500]).finish();
    const apart = columns.flatMap((column) => build([column], 16, [333]).finish());
    assert.deepEqual(allPairs(apart), allPairs(together));
  });

  it('can be read while it grows, the open bucket included', () => {
    const builder = build([[5, 1, 7, NaN, 9, 8]], 4, []);
    const [series] = builder.finish();
    const out = new Float64Array(2);
    series!.extremes(0, 1, out);
    assert.deepEqual([...out], [9, 8]);
    builder.push([Float64Array.from([2, 3, 4])], 3, 6);
    assert.equal(series!.rows, 9);
    assert.equal(series!.buckets(0), 2);
    series!.extremes(0, 1, out);
    assert.deepEqual([...out], [9, 2]);
  });

  it('continues from a saved state as if never interrupted', () => {
    const column = Array.from({ length: 3000 }, (_, i) => 1550 + Math.sin(i / 50) + (i % 97 === 0 ? 0.5 : 0));
    const whole = build([column], 16, []);
    const first = build([column.slice(0, 1234)], 16, [700]);
    const second = PyramidBuilder.restore(structuredClone(first.save()));
    second.push([Float64Array.from(column.slice(1234))], 3000 - 1234, 1234);
    assert.deepEqual(allPairs(second.finish()), allPairs(whole.finish()));
  });

  it('never stores a minimum above the true one or a maximum below, and stays within one float32 step', () => {
    const value = fc.double({ min: -1e9, max: 1e9, noNaN: true });
    fc.assert(
      fc.property(fc.array(value, { minLength: 16, maxLength: 16 }), (column) => {
        const [series] = build([column], 16, []).finish();
        const out = new Float64Array(2);
        series!.extremes(0, 0, out);
        const low = Math.min(...column);
        const high = Math.max(...column);
        const base = column[0]!;
        const slack = 1e-15 * Math.max(Math.abs(low), Math.abs(high), Math.abs(base));
        const step = 2 ** -23 * Math.max(Math.abs(low - base), Math.abs(high - base)) + 1e-44 + slack;
        assert.ok(Math.min(...out) <= low + slack && Math.min(...out) >= low - step);
        assert.ok(Math.max(...out) >= high - slack && Math.max(...out) <= high + step);
      }),
    );
  });

  it('keeps a femtometre at 1550 nm, where a plain float32 steps by a tenth of a picometre', () => {
    const column = Array.from({ length: 16 }, (_, i) => 1550.12 + i * 1e-6);
    const [series] = build([column], 16, []).finish();
    const out = new Float64Array(2);
    series!.extremes(0, 0, out);
    assert.ok(Math.abs(out[0]! - 1550.12) < 1e-9);
    assert.ok(Math.abs(out[1]! - 1550.120015) < 1e-9);
  });

  it('folds directions as arcs: 170, 175, 5, 10 degrees span 20 degrees, not 170', () => {
    const degrees = [170, 175, 5, 10];
    const [series] = build([degrees.map((d) => (d * Math.PI) / 180)], 4, [], [Math.PI]).finish();
    const out = new Float64Array(2);
    series!.extremes(0, 0, out);
    const span = (Math.abs(out[1]! - out[0]!) * 180) / Math.PI;
    assert.ok(Math.abs(span - 20) < 1e-4, `span ${span}`);
  });

  it('refuses rows with a hole before them', () => {
    assert.throws(() => new PyramidBuilder(1, 16).push([new Float64Array(4)], 4, 3), /expected row 0, got 3/);
  });
});

describe('bucketRowsFor', () => {
  it('keeps the pyramid within 0.12 byte per log byte wherever 256 rows a bucket allow it', () => {
    fc.assert(
      fc.property(fc.integer({ min: 20, max: 5000 }), fc.integer({ min: 1, max: 1500 }), (bytesPerRow, series) => {
        const rows = bucketRowsFor(bytesPerRow, series);
        const share = (r: number): number => (8 * series * (1 + 1 / 16 + 1 / 256 + 1 / 4096)) / r / bytesPerRow;
        assert.ok(rows === 256 || share(rows) <= 0.12);
        if (rows > 16) assert.ok(share(rows / 2) > 0.1199);
      }),
    );
  });
});
