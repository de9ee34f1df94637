import assert from 'node:assert/strict';
import { runInNewContext } from 'node:vm';
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

  const arrayOf = fc.oneof(
    fc.float64Array({ noNaN: false }),
    fc.float32Array({ noNaN: false }),
    fc.int32Array(),
    fc.uint16Array(),
    fc.uint8Array(),
    fc.uint8Array().map((bytes) => bytes.slice().buffer),
    // A view of a part of a larger buffer.
    fc.float64Array({ minLength: 3 }).map((values) => values.subarray(1, -1)),
  );

  it('brings arrays of any kind and number through, in one buffer', () => {
    fc.assert(
      fc.property(fc.array(arrayOf, { minLength: 1, maxLength: 600, size: 'max' }), fc.double(), (values, timeS) => {
        const sent = toWire({ timeS, values });
        const carried = throughEditor(sent);
        assert.equal(carried.buffers, 1);
        assert.deepEqual(fromWire(carried.message), { timeS: timeS === 0 ? 0 : timeS, values });
      }),
      { numRuns: 40 },
    );
  });

  it('brings arrays through that another window made', () => {
    const foreign = runInNewContext('({ bytes: new Uint8Array([1, 2, 3]).buffer, values: new Float64Array([4, 5]) })');
    assert.deepEqual(fromWire(throughEditor(toWire(foreign)).message), {
      bytes: new Uint8Array([1, 2, 3]).buffer,
      values: new Float64Array([4, 5]),
    });
  });

  it('a message without arrays is plain JSON', () => {
    assert.equal(throughEditor(toWire({ type: 'ready' })).buffers, 0);
  });
});

/** fast-check makes dictionaries without a prototype; the comparison is of content. */
function plain(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(plain);
  if (typeof value !== 'object' || value === null) return value;
  return new Map(Object.entries(value).map(([key, inner]) => [key, plain(inner)]));
}

/** What the editor does to a message: JSON with its buffers beside it, each once. */
function throughEditor(message: unknown): { message: unknown; buffers: number } {
  const buffers: ArrayBuffer[] = [];
  const json = JSON.stringify(message, (_, value: unknown) => {
    if (ArrayBuffer.isView(value)) throw new Error('an array outside the buffer');
    if (!(value instanceof ArrayBuffer)) return value;
    return { buffer: buffers.push(structuredClone(value)) - 1 };
  });
  const restore = (_: string, value: unknown): unknown =>
    typeof value === 'object' && value !== null && 'buffer' in value ? buffers[value.buffer as number] : value;
  return { message: JSON.parse(json, restore) as unknown, buffers: buffers.length };
}
