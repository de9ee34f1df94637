// Copies of states made of numbers, strings, arrays, typed arrays and plain objects, so that a saved state shares
// nothing with the running one.

export function copyPlain<T>(value: T): T {
  return copy(value) as T;
}

function copy(value: unknown): unknown {
  if (value === null || typeof value !== 'object') return value;
  if (value instanceof Float64Array || value instanceof Float32Array || value instanceof Int32Array) {
    return value.slice();
  }
  if (Array.isArray(value)) return value.map(copy);
  const out: Record<string, unknown> = {};
  for (const [key, entry] of Object.entries(value)) out[key] = copy(entry);
  return out;
}
