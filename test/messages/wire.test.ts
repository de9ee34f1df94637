import assert from 'node:assert/strict';
import fc from 'fast-check';
import { fromWire, toWire } from '../../src/messages/wire.ts';

describe('wire', () => {
  it('brings any message through JSON unchanged, NaN and infinities included', () => {
    const number = fc.oneof(fc.double(), fc.constantFrom(NaN, Infinity, -Infinity, 0));
    const text = fc.oneof(
      fc.string(),
      fc.string().map((inner) => `\u0001${inner}`),
      fc.constant('\u0001NaN'),
    );
    // JSON knows no minus zero; our messages do not depend on it.
    const leaf = fc.oneof(
      number.map((n) => (n === 0 ? 0 : n)),
      text,
      fc.boolean(),
      fc.constant(null),
      fc.constant(undefined),
    );
    const message = fc.letrec((tie) => ({
      tree: fc.oneof(
        { maxDepth: 4 },
        leaf,
        fc.array(tie('tree')),
        fc.dictionary(fc.string({ minLength: 1 }), tie('tree')),
      ),
    })).tree;
    fc.assert(
      fc.property(message, (before) => {
        const after = fromWire(JSON.parse(JSON.stringify(toWire(before))));
        assert.deepEqual(plain(after), plain(before));
      }),
    );
  });

  it('hands typed arrays through untouched', () => {
    const values = new Float64Array([1, NaN]);
    const sent = toWire({ values: [values] }) as { values: [Float64Array] };
    assert.equal(sent.values[0], values);
  });
});

/** fast-check makes dictionaries without a prototype; the comparison is of content. */
function plain(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(plain);
  if (typeof value !== 'object' || value === null) return value;
  return new Map(Object.entries(value).map(([key, inner]) => [key, plain(inner)]));
}
