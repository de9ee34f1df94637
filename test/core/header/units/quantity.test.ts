// Quantities against published sizes of units and against mathjs's own parser, which reads the same texts another way.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { all, create } from 'mathjs';
import type { Unit } from 'mathjs';
import { dimensions, readQuantity, unitScale, unitSpellings } from '../../../../src/core/header/units/quantity.ts';
import type { Dimension } from '../../../../src/core/header/units/quantity.ts';

const math = create(all!);

function si(text: string, dimension: Dimension): number {
  const read = readQuantity(text, dimension);
  assert.ok(read.ok, `${text}: ${JSON.stringify(read)}`);
  return read.si;
}

/** What the whole of mathjs makes of it. */
function unitOf(text: string): Unit | undefined {
  try {
    return math.unit(text) as unknown as Unit;
  } catch {
    return undefined;
  }
}

function close(got: number, expected: number): void {
  assert.ok(Math.abs(got - expected) <= 1e-15 * Math.abs(expected) * 4, `${got} is not ${expected}`);
}

describe('a quantity', () => {
  // SI brochure, BIPM, 9th edition (2019): prefixes table 7; hour, minute, degree table 8; degree Celsius section 2.3.1.
  const published: readonly (readonly [string, Dimension, number])[] = [
    ['30 mm', 'length', 0.03],
    ['40 um', 'length', 40e-6],
    ['1550.120 nm', 'length', 1550.12e-9],
    ['1 pm', 'length', 1e-12],
    ['68.9 GPa', 'stress', 68.9e9],
    ['276 MPa', 'stress', 276e6],
    ['193.4 THz', 'frequency', 193.4e12],
    ['-0.15 GHz', 'frequency', -0.15e9],
    ['200 h', 'time', 720000],
    ['3 min', 'time', 180],
    ['250 ms', 'time', 0.25],
    ['180 deg', 'angle', Math.PI],
    ['-45 deg', 'angle', -Math.PI / 4],
    ['23.6e-6 1/K', 'per kelvin', 23.6e-6],
    ['23.6E-6 1/deg_C', 'per kelvin', 23.6e-6],
    ['0 deg_C', 'temperature', 273.15],
    ['35 deg_C', 'temperature', 308.15],
    ['300 K', 'temperature', 300],
    ['212 degF', 'temperature', 373.15],
    ['-40 degF', 'temperature', 233.15],
    ['9 1/degF', 'per kelvin', 16.2],
    ['5 um/m', 'strain', 5e-6],
    ['0.1 mm/m', 'strain', 1e-4],
    ['2 %', 'strain', 0.02],
    // -6.6285 um/m per GHz at 1550 nm (strain coefficient 0.78): 1 / 6.6285 GHz per um/m, that is 150.863e12 Hz per strain
    ['-0.15086 GHz/(um/m)', 'frequency per strain', -150.86e12],
    ['-1.2475 GHz/deg_C', 'frequency per kelvin', -1.2475e9],
  ];
  for (const [text, dimension, expected] of published) {
    it(`${text} is ${expected} in SI`, () => close(si(text, dimension), expected));
  }

  it('is read as mathjs reads it, whatever the number and unit', () => {
    const plain = (Object.keys(dimensions) as Dimension[]).flatMap((dimension) =>
      unitSpellings(dimension)
        .filter((unit) => /^[A-Za-z]+(\/[A-Za-z]+)?$/.test(unit))
        .map((unit) => ({ dimension, unit })),
    );
    assert.ok(plain.length > 20);
    fc.assert(
      fc.property(
        fc.constantFrom(...plain),
        fc.double({ noNaN: true, min: -1e6, max: 1e6 }),
        ({ dimension, unit }, value) => {
          const expected = math.unit(value, unit).toSI().toJSON().value;
          const got = si(`${value} ${unit}`, dimension);
          assert.ok(Math.abs(got - expected) <= 1e-12 * Math.abs(expected), `${value} ${unit}: ${got}, ${expected}`);
        },
      ),
      { numRuns: 300 },
    );
  });

  it('has the size that the whole of mathjs gives it, to the bit, for products, quotients and powers too', () => {
    const names = 'm mm um inch mil s h K degF deg rad arcmin Hz GHz Pa psi N lbf kg bar VAR nothing'.split(' ');
    const one = fc
      .tuple(fc.constantFrom(...names), fc.constantFrom('', '^2', '^-1', '^3'))
      .map((parts) => parts.join(''));
    const joined = fc
      .tuple(one, fc.constantFrom('*', '/', ' ', ' / ', '/(', '*('), one)
      .map(([a, sign, b]) => `${a}${sign}${b}${sign.endsWith('(') ? ')' : ''}`);
    const known = (Object.keys(dimensions) as Dimension[]).flatMap((dimension) => unitSpellings(dimension));
    fc.assert(
      fc.property(fc.oneof(fc.constantFrom(...known), one, joined), (unit) => {
        const found = (Object.keys(dimensions) as Dimension[]).flatMap((dimension) => {
          const result = unitScale(unit, dimension);
          return result.ok ? [{ dimension, scale: result.scale }] : [];
        });
        if (unit === '%' || unit === 'K^-1') return; // settled before mathjs is asked
        const text = unit.replace('deg_C', 'degC');
        const expected = unitOf(text.startsWith('1') ? text : `1 ${text}`);
        if (!expected) {
          assert.deepEqual(found, []);
          return;
        }
        // Temperatures that count from elsewhere have cases of their own.
        for (const { dimension, scale } of found.filter(() => !/^deg_?[CF]$/.test(unit))) {
          assert.equal(scale, expected.toNumber(dimensions[dimension].si), `${unit}: ${dimension}`);
        }
        const fits = (Object.keys(dimensions) as Dimension[]).some((name) =>
          expected.equalBase(unitOf(dimensions[name].si)!),
        );
        assert.equal(found.length, fits && typeof expected.value === 'number' ? 1 : 0, unit);
      }),
      { numRuns: 2000 },
    );
  });

  it('never gives what is not finite', () => {
    fc.assert(
      fc.property(fc.string(), fc.constantFrom(...(Object.keys(dimensions) as Dimension[])), (text, dimension) => {
        const read = readQuantity(text, dimension);
        if (read.ok) assert.ok(Number.isFinite(read.si));
      }),
    );
    for (const text of ['1e400 mm', 'NaN mm', 'Infinity mm', '- mm', '', ' ', 'mm', '1 000 mm', '0x10 mm', '1..5 mm']) {
      assert.ok(!readQuantity(text, 'length').ok, text);
    }
  });

  const faults: readonly (readonly [string, Dimension, string])[] = [
    ['30', 'length', 'unit-missing'],
    ['thirty mm', 'length', 'syntax'],
    ['30,5 mm', 'length', 'syntax'],
    ['30 furlong_', 'length', 'unknown'],
    ['30 MPa', 'length', 'dimension'],
    ['30 deg', 'temperature', 'dimension'],
    ['30 nm', 'frequency', 'dimension'],
    ['0.15 GHz', 'frequency per strain', 'dimension'],
    ['0.15 GHz/(um/m)', 'frequency', 'dimension'],
    ['23.6e-6 K', 'per kelvin', 'dimension'],
    ['30 mm mm', 'length', 'dimension'],
    ['30 2 mm', 'length', 'unknown'],
  ];
  for (const [text, dimension, why] of faults) {
    it(`${text} is no ${dimension}: ${why}`, () => {
      const read = readQuantity(text, dimension);
      assert.ok(!read.ok);
      assert.equal(read.why, why);
    });
  }

  for (const [spelling, dimension, suggestion] of [
    ['µε', 'strain', 'um/m'],
    ['microstrain', 'strain', 'um/m'],
    ['µm', 'length', 'um'],
    ['°C', 'temperature', 'deg_C'],
    ['degC', 'temperature', 'deg_C'],
    ['°', 'angle', 'deg'],
    ['Mpa', 'stress', 'MPa'],
    ['1/°C', 'per kelvin', '1/K'],
    ['sec', 'time', 's'],
  ] as const) {
    it(`${spelling} suggests ${suggestion}`, () => {
      const result = unitScale(spelling, dimension);
      assert.ok(!result.ok && result.why === 'unknown');
      assert.equal(result.suggestion, suggestion);
    });
  }
});
