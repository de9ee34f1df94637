import assert from 'node:assert/strict';
import fc from 'fast-check';
import {
  axisText,
  change,
  clock,
  count,
  countOf,
  duration,
  fixed,
  measure,
  measureWithError,
} from '../../../src/core/display/numberFormat.ts';

describe('number texts', () => {
  it('carry value and unit together, three significant digits, with a true minus sign', () => {
    assert.equal(measure(-41.23, 'µm/m'), '−41.2 µm/m');
    assert.equal(measure(123.4, 'MPa'), '123 MPa');
    assert.equal(measure(99.97, 'MPa'), '100 MPa');
    assert.equal(measure(0, 'K'), '0 K');
    assert.equal(measure(31, '°'), '31.0°');
    assert.equal(measure(0.0123, ''), '0.0123');
    assert.equal(measure(-0.0039325, '1/m'), '−0.00393 1/m');
    assert.equal(measure(1.5e7, 'N/m'), '1.50·10⁷ N/m');
    assert.equal(measure(-2e-5, '1/m'), '−2.00·10⁻⁵ 1/m');
  });

  it('keep three digits of whatever size, so that no value reads half a hundredth off', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-3, max: 999, noNaN: true }), (value) => {
        const read = Number(measure(value, ''));
        assert.ok(Math.abs(read - value) <= 0.00501 * value, `${value} reads ${measure(value, '')}`);
      }),
    );
  });

  it('show a value to the size of its error', () => {
    assert.equal(measureWithError(31.26, 2.4, '°'), '31° ± 2°');
    assert.equal(measureWithError(31.26, 0.52, '°'), '31.3° ± 0.5°');
    assert.equal(measureWithError(31.26, NaN, '°'), '31.3°');
  });

  it('keep a small error visible, however many decimals that takes', () => {
    assert.equal(measureWithError(31, 0.003, '°'), '31.000° ± 0.003°');
    assert.equal(measureWithError(0.1534, 0.002, 'MPa'), '0.153 MPa ± 0.002 MPa');
    assert.equal(measureWithError(1.2e-12, 3e-13, ''), '1.20·10⁻¹² ± 3.00·10⁻¹³');
    fc.assert(
      fc.property(fc.double({ min: -12, max: 3, noNaN: true }), (power) => {
        const [, spread] = measureWithError(5, 10 ** power, '').split(' ± ');
        assert.match(spread!, /[1-9]/);
      }),
    );
  });

  it('give the direction of an axis within half a turn, as it reads', () => {
    assert.equal(axisText(179.7, 3), '0° ± 3°');
    assert.equal(axisText(179.7, 0.5), '179.7° ± 0.5°');
    assert.equal(axisText(-0.2, 0.5), '179.8° ± 0.5°');
    assert.equal(axisText(31.26, 2.4), '31° ± 2°');
    assert.equal(axisText(179.99, NaN), '0°');
    assert.equal(axisText(NaN, 1), '–');
    const angle = fc.double({ min: -720, max: 720, noNaN: true });
    fc.assert(
      fc.property(angle, fc.double({ min: 1e-3, max: 90, noNaN: true }), (deg, error) => {
        assert.ok(parseFloat(axisText(deg, error)) < 180, axisText(deg, error));
      }),
    );
  });

  it('mark a gain with its sign, nothing with none', () => {
    assert.equal(change(12.9, 'µm/m'), '+12.9 µm/m');
    assert.equal(change(-12.9, 'µm/m'), '−12.9 µm/m');
    assert.equal(change(0.5, 'µm/m'), '+0.500 µm/m');
    assert.equal(change(-0.5, 'µm/m'), '−0.500 µm/m');
    assert.equal(change(0, 'µm/m'), '0 µm/m');
  });

  it('never show NaN, Infinity or a negative zero', () => {
    const any = fc.oneof(fc.double(), fc.constantFrom(NaN, Infinity, -Infinity, -0, -1e-9));
    fc.assert(
      fc.property(any, any, (value, error) => {
        const texts = [
          measure(value, 'K'),
          measureWithError(value, error, 'K'),
          axisText(value, error),
          change(value, 'K'),
          fixed(value, 2),
          clock(value, 1),
          duration(value),
          count(value),
        ];
        for (const text of texts) assert.doesNotMatch(text, /NaN|Infinity|−0(\.0+)?( |$)|undefined/);
      }),
    );
    assert.equal(measure(NaN, 'K'), '–');
  });

  it('give times as a clock does', () => {
    assert.equal(clock(20391), '5:39:51');
    assert.equal(clock(0.25, 1), '0:00:00.3');
    assert.equal(clock(59.96, 1), '0:01:00.0');
    assert.equal(clock(-61), '−0:01:01');
  });

  it('give spans in words', () => {
    assert.equal(duration(0.2), '0.200 s');
    assert.equal(duration(45), '45 s');
    assert.equal(duration(123), '2 min 3 s');
    assert.equal(duration(43_380), '12 h 3 min');
    assert.equal(duration(7199), '2 h');
  });

  it('group digits of counts', () => {
    assert.equal(count(1234567), '1\u202f234\u202f567');
    assert.equal(countOf(1, 'event', 'events'), '1 event');
    assert.equal(countOf(0, 'event', 'events'), '0 events');
  });
});
