import assert from 'node:assert/strict';
import { columnErrors, firstValue, valueAt, withNulls } from '../../../webview/plots/plotData.ts';

describe('the edge to the plotting library', () => {
  it('turns whatever is no finite number into null, the first value included', () => {
    assert.deepEqual(withNulls(Float64Array.from([NaN, 1, Infinity, -Infinity, 0])), [null, 1, null, null, 0]);
    const whole = Float64Array.from([1, 2]);
    assert.equal(withNulls(whole), whole);
  });

  it('gives a pixel column its widest error, and rows their own', () => {
    const errors = Float64Array.from([1, NaN, 5, 2, NaN, NaN, NaN, NaN]);
    assert.deepEqual([...columnErrors(errors, 2)], [5, 5, 5, 5, NaN, NaN, NaN, NaN]);
    assert.equal(columnErrors(errors, 0), errors);
  });

  it('reads a line at the nearest point that has a value, never beyond reach', () => {
    const times = [0, 1, 2, 3, 10];
    const values = [5, 6, NaN, 8, 9];
    assert.equal(valueAt(times, values, 1.9, 1.5), 6);
    assert.equal(valueAt(times, values, 2.6, 1), 8);
    assert.ok(Number.isNaN(valueAt(times, values, 6, 1)));
    assert.ok(Number.isNaN(valueAt([], [], 6, 1)));
  });

  it('finds the first value that is there', () => {
    assert.equal(firstValue(Float64Array.from([NaN, 4, 5])), 4);
    assert.equal(firstValue(new Float64Array(0)), 0);
  });
});
