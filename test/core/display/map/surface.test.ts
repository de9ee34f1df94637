import assert from 'node:assert/strict';
import fc from 'fast-check';
import { fieldBands } from '../../../../src/core/display/map/surface.ts';

/** Area of all polygons of a path by the shoelace formula. */
function area(path: string): number {
  return path
    .split('M')
    .filter((part) => part !== '')
    .reduce((sum, part) => {
      const xy = part
        .replace('Z', '')
        .split('L')
        .map((pair) => pair.split(' ').map(Number));
      const twice = xy.reduce((s, [x, y], i) => {
        const [nextX, nextY] = xy[(i + 1) % xy.length]!;
        return s + x! * nextY! - nextX! * y!;
      }, 0);
      return sum + Math.abs(twice) / 2;
    }, 0);
}

const square = (values: readonly number[]) => [
  { x: 0, y: 0, value: values[0]! },
  { x: 100, y: 0, value: values[1]! },
  { x: 0, y: 100, value: values[2]! },
  { x: 100, y: 100, value: values[3]! },
];

describe('field bands', () => {
  it('cover the hull of the cells, and no more', () => {
    const value = fc.double({ min: -1e3, max: 1e3, noNaN: true });
    fc.assert(
      fc.property(fc.tuple(value, value, value, value), fc.boolean(), (values, signed) => {
        const covered = fieldBands(square(values), signed).reduce((sum, { path }) => sum + area(path), 0);
        assert.ok(Math.abs(covered - 10_000) < 60, `${covered}`);
      }),
    );
  });

  it('follow a plane exactly: equal steps of a ramp are strips of equal width', () => {
    const bands = fieldBands(square([0, 100, 0, 100]), false).filter(({ path }) => path !== '');
    for (const { from, to, path } of bands) {
      const share = (Math.min(100, to) - Math.max(0, from)) / 100;
      assert.ok(Math.abs(area(path) - 10_000 * share) < 5);
    }
  });

  it('have round limits that hold every value, a signed field one band about zero', () => {
    const bands = fieldBands(square([-37, 12, 5, 20]), true);
    assert.ok(bands[0]!.from <= -37 && bands.at(-1)!.to >= 37);
    assert.ok(bands.some(({ from, to }) => from < 0 && Math.abs(from + to) < 1e-9));
  });

  it('leave out cells without a value, and draw nothing of fewer than three', () => {
    assert.equal(fieldBands(square([1, 2, NaN, NaN]), false).length, 0);
    const covered = fieldBands(square([1, 2, 3, NaN]), false).reduce((sum, { path }) => sum + area(path), 0);
    assert.ok(Math.abs(covered - 5000) < 30);
  });
});
