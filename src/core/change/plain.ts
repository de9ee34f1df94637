// Copies of states made of numbers, strings, arrays, typed arrays and plain objects, so that a saved state shares
// nothing with the running one.

export function copyPlain<T>(value: T): T {
  return copy(value) as T;
}

function copy(value: unknown): unknown {
  if (value === null || typeof value !== 'object') return value;
  if (isTyped(value)) return value.slice();
  if (Array.isArray(value)) return value.map(copy);
  const out: Record<string, unknown> = {};
  for (const [key, entry] of Object.entries(value)) out[key] = copy(entry);
  return out;
}

/** A kind of array left out here would come back as a plain object: right to read, and many times slower. */
function isTyped(value: object): value is Float64Array {
  return ArrayBuffer.isView(value) && 'slice' in value;
}
